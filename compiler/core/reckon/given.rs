//! What is given to a topic: figures with units, ranges of them, plain numbers and words.

use super::show::Shown;
pub use super::span::Span;
use crate::domain::limit::{Form, Limit};
use crate::domain::quantity::{Dimension, Figure, Kind, Measure, Unit, ValueErrorKind};
use crate::finding::did_you_mean;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeMap;
use uom::si::f64::ThermodynamicTemperature;

/// Something that a topic takes.
pub struct Input {
    pub name: &'static str,
    pub what: &'static str,
    pub kind: Wanted,
    pub needed: bool,
}

impl Input {
    /// Must be given.
    pub const fn needed(name: &'static str, what: &'static str, kind: Wanted) -> Input {
        Input {
            name,
            what,
            kind,
            needed: true,
        }
    }

    /// May be given.
    pub const fn known(name: &'static str, what: &'static str, kind: Wanted) -> Input {
        Input {
            name,
            what,
            kind,
            needed: false,
        }
    }
}

/// What a value must be.
#[derive(Clone, Copy, PartialEq)]
pub enum Wanted {
    /// A figure with a unit, or a range of it.
    Figure(Dimension),
    /// A plain number or a share in per cent, or a range of it.
    Number,
    /// Words for a table or a designation.
    Words,
}

enum Value {
    Span(Span, String, Option<Unit>),
    Words(String),
}

/// What was given, by name.
pub struct Given {
    values: BTreeMap<&'static str, Value>,
}

impl Given {
    /// Reads `name=value` texts.
    ///
    /// # Errors
    /// If a name isn't one of the inputs, a value can't be read, or one that is needed isn't there.
    pub fn read(inputs: &'static [Input], texts: &[String]) -> Result<Given, String> {
        let mut values = BTreeMap::new();
        for text in texts {
            let Some((name, value)) = text.split_once('=') else {
                return Err(format!(
                    "`{text}` has no `=`; write NAME=VALUE, such as `{}=…`",
                    inputs.first().map_or("", |i| i.name)
                ));
            };
            let name = name.trim();
            let Some(input) = inputs.iter().find(|input| input.name == name) else {
                let names: Vec<&str> = inputs.iter().map(|input| input.name).collect();
                let help = did_you_mean(name, names.iter().copied()).map_or_else(
                    || format!("it takes {}", names.join(", ")),
                    |near| format!("did you mean `{near}`?"),
                );
                return Err(format!("there is no `{name}` in this topic; {help}"));
            };
            if values.insert(input.name, value_of(input, value.trim())?).is_some() {
                return Err(format!("`{name}` is given twice; leave the one that counts"));
            }
        }
        if let Some(missing) = inputs
            .iter()
            .find(|input| input.needed && !values.contains_key(input.name))
        {
            return Err(format!(
                "`{}` is missing: {}; add `{}=…`",
                missing.name, missing.what, missing.name
            ));
        }
        Ok(Given { values })
    }

    /// A figure or number, if given.
    pub fn known(&self, name: &str) -> Option<Span> {
        match self.values.get(name)? {
            Value::Span(span, ..) => Some(*span),
            Value::Words(_) => None,
        }
    }

    /// A figure or number that must be there for what is asked.
    pub fn span(&self, name: &str) -> Result<Span, String> {
        self.known(name)
            .ok_or_else(|| format!("`{name}` is missing; add `{name}=…`"))
    }

    /// The unit that a figure was given in, for an answer of the same kind; `usual` if it wasn't given.
    pub fn shown(&self, name: &str, usual: Shown) -> Shown {
        match self.values.get(name) {
            Some(Value::Span(_, _, Some(unit))) if !unit.has_offset() => {
                let one = Measure::new(Figure::computed(Decimal::ONE), *unit);
                Shown(unit.symbol(), one.si())
            }
            _ => usual,
        }
    }

    /// Words, if given.
    pub fn words(&self, name: &str) -> Option<&str> {
        match self.values.get(name)? {
            Value::Words(words) => Some(words),
            Value::Span(_, text, _) => Some(text),
        }
    }

    /// Refuses what isn't above nought.
    pub fn positive(&self, names: &[&str]) -> Result<(), String> {
        for name in names {
            if self.known(name).is_some_and(|span| span.low <= 0.0) {
                return Err(format!("`{name}` must be above nought"));
            }
        }
        Ok(())
    }
}

fn value_of(input: &Input, text: &str) -> Result<Value, String> {
    let fault = |message: String, help: String| format!("in `{}={text}`: {message}; {help}", input.name);
    match input.kind {
        Wanted::Words if text.is_empty() => Err(fault("nothing is written".into(), input.what.into())),
        Wanted::Words => Ok(Value::Words(text.to_owned())),
        Wanted::Number => {
            let span = number(text)
                .ok_or_else(|| fault("that is no number".into(), "write `0.12`, `3 %` or `0.10..0.15`".into()))?;
            Ok(Value::Span(span, text.to_owned(), None))
        }
        Wanted::Figure(dimension) => {
            let (span, unit) = figure(text, dimension).map_err(|(message, help)| fault(message, help))?;
            Ok(Value::Span(span, text.to_owned(), Some(unit)))
        }
    }
}

/// A figure or a range with both its ends, in SI.
fn figure(text: &str, dimension: Dimension) -> Result<(Span, Unit), (String, String)> {
    let words = |error: crate::domain::quantity::ValueError| (error.message(), error.help());
    let (low, usual, high) = match Limit::parse(text) {
        Ok(limit) => {
            let (Some(low), Some(high)) = (limit.bounds().low.clone(), limit.bounds().high.clone()) else {
                return Err((
                    "one bound alone is no range".into(),
                    "write both ends, such as `3.43..3.63 mm`".into(),
                ));
            };
            let nominal = match limit.form() {
                Form::Around { nominal, .. } => Some(nominal.clone()),
                _ => None,
            };
            (low, nominal, high)
        }
        Err(error) if matches!(error.kind, ValueErrorKind::NoLimit) => {
            let measure = Measure::parse_any_of(text, &[dimension]).map_err(words)?;
            (measure.clone(), Some(measure.clone()), measure)
        }
        Err(error) => return Err(words(error)),
    };
    if low.dimension() != dimension {
        // The same words as for a figure.
        let one = format!("1 {}", low.unit());
        return Err(Measure::parse_any_of(&one, &[dimension])
            .map_err(words)
            .map_or_else(|fault| fault, |_| ("it can't be read".into(), String::new())));
    }
    let unit = high.unit();
    let (low, high) = (si(&low), si(&high));
    let usual = usual.map_or(f64::midpoint(low, high), |usual| si(&usual));
    Ok((Span { low, usual, high }, unit))
}

/// In coherent SI units, to 15 digits.
fn si(measure: &Measure) -> f64 {
    if measure.dimension() == Dimension::Temperature {
        let kelvin = measure.quantity::<ThermodynamicTemperature>();
        return kelvin.map_or(f64::NAN, Kind::si);
    }
    measure.si()
}

/// `0.12`, `3 %`, `-3 %`, `0.10..0.15`, in plain numbers.
fn number(text: &str) -> Option<Span> {
    let one = |text: &str| -> Option<f64> {
        let text = text.trim().replace('−', "-");
        if let Some(share) = text.strip_suffix('%') {
            return Some(Decimal::from_str_exact(share.trim()).ok()?.to_f64()? / 100.0);
        }
        Decimal::from_str_exact(text.trim_start_matches('+')).ok()?.to_f64()
    };
    match text.split_once("..") {
        Some((low, high)) => {
            let shared = if high.trim_end().ends_with('%') && !low.contains('%') {
                "%"
            } else {
                ""
            };
            let (low, high) = (one(&format!("{low}{shared}"))?, one(high)?);
            (low <= high).then(|| Span::between(low, high))
        }
        None => one(text).map(Span::one),
    }
}
