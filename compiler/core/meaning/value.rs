//! One value of the meaning: a form in which equal values are equal whatever their unit and spelling, and the value itself for print.

use crate::cards::second_unit;
use crate::domain::amount::Amount;
use crate::domain::limit::{Bounds, Form, Interval, Limit, Tolerance};
use crate::domain::quantity::{Measure, Rounding, Unit};
use crate::domain::tightening::{Stage, TorqueValue};
use crate::domain::timer::Duration;
use crate::model::Set;
use rust_decimal::{Decimal, RoundingStrategy};
use std::borrow::Cow;

/// Significant digits that count. Conversions are exact to some 27; nobody writes a dozen.
const DIGITS: u32 = 18;

/// A value as the model holds it.
#[derive(Debug, Clone)]
pub enum Source<'a> {
    Text(Cow<'a, str>),
    Stage(&'a Stage),
    Limit(&'a Limit),
    Interval(&'a Interval),
    Measure(&'a Measure),
    Tolerance(&'a Tolerance),
    Duration(&'a Duration),
    Amount(&'a Amount),
}

/// A value with the form that is compared.
#[derive(Debug, Clone)]
pub struct Value<'a> {
    /// Equal for equal values.
    pub canon: String,
    source: Source<'a>,
}

impl<'a> Value<'a> {
    pub fn new(source: Source<'a>) -> Value<'a> {
        let canon = match &source {
            Source::Text(text) => squeezed(text),
            Source::Stage(Stage::Torque(torque)) => torque_canon(torque),
            Source::Stage(Stage::Turn(turn)) => {
                let tolerance = turn.tolerance().map_or_else(String::new, tolerance_canon);
                format!("+{}{tolerance}", measure_canon(turn.angle().measure()))
            }
            Source::Limit(limit) => limit_canon(limit),
            Source::Interval(interval) => interval_canon(interval),
            Source::Measure(measure) => measure_canon(measure),
            Source::Tolerance(tolerance) => tolerance_canon(tolerance),
            Source::Duration(duration) => format!("{} s", shortest(duration.seconds())),
            Source::Amount(Amount::Count(count)) => count.to_string(),
            Source::Amount(Amount::Measure(measure)) => measure_canon(measure),
        };
        Value { canon, source }
    }

    /// Words, or a number without a unit.
    pub fn text(text: impl Into<Cow<'a, str>>) -> Value<'a> {
        Value::new(Source::Text(text.into()))
    }

    /// As the author wrote it, in canonical symbols.
    pub fn shown(&self) -> String {
        match &self.source {
            Source::Text(text) => squeezed(text),
            Source::Stage(stage) => stage.to_string(),
            Source::Limit(limit) => limit.to_string(),
            Source::Interval(interval) => interval.to_string(),
            Source::Measure(measure) => measure.to_string(),
            Source::Tolerance(tolerance) => tolerance.to_string(),
            Source::Duration(duration) => duration.to_string(),
            Source::Amount(amount) => amount.to_string(),
        }
    }

    /// In the set's second unit, as its cards print it; empty if it asks for none.
    pub fn second(&self, set: &Set) -> String {
        let other = |unit: Unit| second_unit(set, unit);
        let found = match &self.source {
            Source::Stage(Stage::Torque(torque)) => other(torque.unit()).and_then(|unit| torque.in_unit(unit)),
            Source::Limit(limit) => other(limit.unit())
                .and_then(|unit| limit.in_unit(unit))
                .map(|b| b.to_string()),
            Source::Interval(interval) => other(interval.high().unit())
                .and_then(|unit| Bounds::of(interval).in_unit(unit))
                .map(|b| b.to_string()),
            _ => self.measure().and_then(|m| in_other(m, other(m.unit()))),
        };
        found.unwrap_or_default()
    }

    /// In the unit of another value, where that is not this one's own; empty if it can't be.
    pub fn in_unit_of(&self, other: &Value) -> String {
        let unit = other.unit().filter(|unit| Some(*unit) != self.unit());
        let found = unit.and_then(|unit| match &self.source {
            Source::Stage(Stage::Torque(torque)) => torque.in_unit(unit),
            Source::Limit(limit) => Some(limit.in_unit(unit)?.to_string()),
            Source::Interval(interval) => Some(Bounds::of(interval).in_unit(unit)?.to_string()),
            _ => in_other(self.measure()?, Some(unit)),
        });
        found.unwrap_or_default()
    }

    fn unit(&self) -> Option<Unit> {
        match &self.source {
            Source::Stage(Stage::Torque(torque)) => Some(torque.unit()),
            Source::Limit(limit) => Some(limit.unit()),
            Source::Interval(interval) => Some(interval.high().unit()),
            _ => self.measure().map(Measure::unit),
        }
    }

    /// The figure and unit of a value that is nothing else.
    fn measure(&self) -> Option<&Measure> {
        match &self.source {
            Source::Measure(measure) => Some(measure),
            Source::Amount(Amount::Measure(measure)) => Some(measure),
            _ => None,
        }
    }

    /// The figure that a ratio is taken of: what is aimed at, or the upper bound, or the lower.
    pub fn size(&self) -> Option<Size> {
        match &self.source {
            Source::Stage(Stage::Torque(torque)) => Size::of(torque.target().measure()),
            Source::Stage(Stage::Turn(turn)) => Size::of(turn.angle().measure()),
            Source::Limit(limit) => match limit.form() {
                Form::Around { nominal, .. } => Size::of(nominal),
                _ => Size::of(limit.bounds().high.as_ref().or(limit.bounds().low.as_ref())?),
            },
            Source::Interval(interval) => Size::of(interval.high()),
            Source::Measure(measure) => Size::of(measure),
            Source::Tolerance(Tolerance::Share(share)) => Size::of(share),
            Source::Tolerance(Tolerance::Amount { plus, .. }) => Size::of(plus),
            Source::Duration(duration) => Some(Size {
                base: duration.seconds(),
                figure: duration.seconds(),
                unit: "s",
            }),
            Source::Amount(Amount::Measure(measure)) => Size::of(measure),
            Source::Amount(Amount::Count(count)) => Some(Size {
                base: Decimal::from(*count),
                figure: Decimal::from(*count),
                unit: "",
            }),
            Source::Text(_) => None,
        }
    }
}

/// A single figure: what it comes to in one unit for each dimension, and how it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    pub base: Decimal,
    pub figure: Decimal,
    pub unit: &'static str,
}

impl Size {
    fn of(measure: &Measure) -> Option<Size> {
        // A ratio of temperatures says nothing.
        if measure.unit().has_offset() {
            return None;
        }
        Some(Size {
            base: in_base(measure)?,
            figure: measure.value(),
            unit: measure.unit().symbol(),
        })
    }
}

fn in_other(measure: &Measure, unit: Option<Unit>) -> Option<String> {
    Some(measure.in_unit(unit?, Rounding::Nearest)?.to_string())
}

/// Text with each run of white space as one space and none at its ends.
pub fn squeezed(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    squeeze_into(&mut out, text);
    out
}

/// The same at the end of another text, which it is not parted from.
pub fn squeeze_into(out: &mut String, text: &str) {
    let start = out.len();
    for word in text.split_whitespace() {
        // Where a mark that prints nothing stood, white space is left before the stop.
        let only_stops = word.bytes().all(|b| b".,;:!?)".contains(&b));
        if out.len() > start && !only_stops {
            out.push(' ');
        }
        out.push_str(word);
    }
}

/// The one unit in which figures of a dimension are compared.
fn base(unit: Unit) -> Option<Unit> {
    let symbol = unit.dimension().example_unit();
    if unit.symbol() == symbol {
        Some(unit)
    } else {
        Unit::find(symbol)
    }
}

fn in_base(measure: &Measure) -> Option<Decimal> {
    measure.unit().convert(measure.value(), base(measure.unit())?)
}

/// The digits that count, without zeros at the end.
fn shortest(value: Decimal) -> Decimal {
    value
        .round_sf_with_strategy(DIGITS, RoundingStrategy::MidpointAwayFromZero)
        .unwrap_or(value)
        .normalize()
}

fn canon(value: Option<Decimal>, measure: &Measure) -> String {
    match value {
        Some(value) => format!("{} {}", shortest(value), measure.dimension().example_unit()),
        // Beyond what a decimal holds; the spelling is all there is to compare.
        None => measure.to_string(),
    }
}

fn measure_canon(measure: &Measure) -> String {
    canon(in_base(measure), measure)
}

/// A difference has no zero to be shifted: a rise of 10 °C is one of 18 °F.
fn difference_canon(measure: &Measure) -> String {
    let unit = measure.unit();
    canon(
        base(unit).and_then(|base| unit.convert_difference(measure.value(), base)),
        measure,
    )
}

fn tolerance_canon(tolerance: &Tolerance) -> String {
    match tolerance {
        Tolerance::Share(share) => format!("±{}", measure_canon(share)),
        Tolerance::Amount { plus, minus } => format!("+{} -{}", difference_canon(plus), difference_canon(minus)),
    }
}

fn interval_canon(interval: &Interval) -> String {
    format!("{}..{}", measure_canon(interval.low()), measure_canon(interval.high()))
}

fn torque_canon(torque: &TorqueValue) -> String {
    let target = torque.target().measure();
    match torque.tolerance() {
        Some(tolerance) => format!("{} {}", measure_canon(target), tolerance_canon(tolerance)),
        None if torque.has_bounds() => format!(
            "{}..{}",
            measure_canon(torque.low().measure()),
            measure_canon(torque.high().measure())
        ),
        None => measure_canon(target),
    }
}

fn limit_canon(limit: &Limit) -> String {
    let bound = |bound: &Option<Measure>| bound.as_ref().map_or_else(String::new, measure_canon);
    match limit.form() {
        Form::Around { nominal, tolerance } => format!("{} {}", measure_canon(nominal), tolerance_canon(tolerance)),
        Form::Fit(fit) => format!("{} {}", measure_canon(fit.size().measure()), fit.class()),
        Form::Below | Form::Above => {
            format!("{}<..<{}", bound(&limit.bounds().low), bound(&limit.bounds().high))
        }
        Form::Range | Form::AtMost | Form::AtLeast => {
            format!("{}..{}", bound(&limit.bounds().low), bound(&limit.bounds().high))
        }
    }
}

/// The ratio of two figures of one dimension, to three digits: `×12`. `None` where it is 1 or can't be told.
pub fn ratio(old: Size, new: Size) -> Option<String> {
    let ratio = new.base.checked_div(old.base)?;
    let digits = |n| ratio.round_sf_with_strategy(n, RoundingStrategy::MidpointAwayFromZero);
    let rounded = digits(3)?.normalize();
    (ratio != Decimal::ONE && !ratio.is_zero()).then(|| {
        if rounded == Decimal::ONE {
            let fine = digits(6).unwrap_or(ratio).normalize();
            format!("×{fine}")
        } else {
            format!("×{rounded}")
        }
    })
}
