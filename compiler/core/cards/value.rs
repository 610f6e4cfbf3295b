//! A printed value with its canonical form: what a card shows, and beside it what that comes to, equal for equal values whatever their
//! unit and spelling. The code of a leaf stands for what is shown; a diff compares what it comes to.

use super::figures::{self, By};
use crate::domain::amount::{Amount, Sum};
use crate::domain::limit::{Form, Interval, Limit, Tolerance};
use crate::domain::quantity::{Measure, Rounding, Unit};
use crate::domain::tightening::{HAND, Stage, TorqueValue};
use crate::domain::timer::Duration;
use crate::fingerprint::{Meaning, Sink, squeezed};
use crate::source::Sourced;
use crate::words::{Language, Phrase, Speak};
use rust_decimal::{Decimal, RoundingStrategy};
use serde::{Serialize, Serializer};
use std::fmt;
use std::ops::Deref;

/// Significant digits that count. Conversions are exact to some 27; nobody writes a dozen.
const DIGITS: u32 = 18;

/// A value as printed. A template gets its text alone; until a language is chosen that is in English, as findings and answers are.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Value {
    said: Phrase,
    text: String,
    is: Is,
}

/// What a value is.
#[derive(Debug, Clone, PartialEq, Default)]
enum Is {
    /// Words: what they say is what they are.
    #[default]
    Words,
    /// Words that may be spelt otherwise, with the one spelling that is compared.
    Named(String),
    Stage(Stage),
    Limit(Limit),
    Interval(Interval),
    Measure(Measure),
    Tolerance(Tolerance),
    Duration(Duration),
    Amount(Amount),
}

impl Value {
    /// Words that may be spelt in several ways: as printed, and the one spelling that is compared.
    pub fn named(said: impl Into<Phrase>, canon: impl Into<String>) -> Value {
        Value::of(said.into(), Is::Named(canon.into()))
    }

    fn of(said: Phrase, is: Is) -> Value {
        Value {
            text: said.english(),
            said,
            is,
        }
    }

    /// The text as printed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The same before a language is chosen.
    pub fn said(&self) -> &Phrase {
        &self.said
    }

    /// Equal for equal values.
    pub fn canon(&self) -> String {
        match &self.is {
            Is::Words => squeezed(&self.text),
            Is::Named(canon) => canon.clone(),
            Is::Stage(Stage::Hand) => HAND.to_string(),
            Is::Stage(Stage::Torque(torque)) => torque_canon(torque),
            Is::Stage(Stage::Turn(turn)) => {
                let tolerance = turn.tolerance().map_or_else(String::new, tolerance_canon);
                format!("+{}{tolerance}", measure_canon(turn.angle().measure()))
            }
            Is::Limit(limit) => limit_canon(limit),
            Is::Interval(interval) => interval_canon(interval),
            Is::Measure(measure) => measure_canon(measure),
            Is::Tolerance(tolerance) => tolerance_canon(tolerance),
            Is::Duration(duration) => format!("{} s", shortest(duration.seconds())),
            Is::Amount(Amount::Count(count)) => count.to_string(),
            Is::Amount(Amount::Measure(measure)) => measure_canon(measure),
        }
    }

    /// In the unit of another value, where that is not this one's own; empty if it can't be.
    pub fn in_unit_of(&self, other: &Value) -> Phrase {
        let unit = other.unit().filter(|unit| Some(*unit) != self.unit());
        let found = unit.and_then(|unit| match &self.is {
            Is::Stage(Stage::Torque(torque)) => figures::torque_in_unit(torque, unit),
            Is::Limit(limit) => Some(figures::bounds(&limit.in_unit(unit)?, By::Us)),
            Is::Stage(Stage::Turn(_) | Stage::Hand)
            | Is::Words
            | Is::Named(_)
            | Is::Interval(_)
            | Is::Measure(_)
            | Is::Tolerance(_)
            | Is::Duration(_)
            | Is::Amount(_) => in_other(self.measure()?, Some(unit)),
        });
        found.unwrap_or_default()
    }

    fn unit(&self) -> Option<Unit> {
        match &self.is {
            Is::Stage(Stage::Torque(torque)) => Some(torque.unit()),
            Is::Limit(limit) => Some(limit.unit()),
            Is::Interval(interval) => Some(interval.high().unit()),
            Is::Stage(Stage::Turn(_) | Stage::Hand)
            | Is::Words
            | Is::Named(_)
            | Is::Measure(_)
            | Is::Tolerance(_)
            | Is::Duration(_)
            | Is::Amount(_) => self.measure().map(Measure::unit),
        }
    }

    /// The figure and unit of a value that is nothing else.
    fn measure(&self) -> Option<&Measure> {
        match &self.is {
            Is::Measure(measure) => Some(measure),
            Is::Amount(Amount::Measure(measure)) => Some(measure),
            Is::Amount(Amount::Count(_))
            | Is::Words
            | Is::Named(_)
            | Is::Stage(_)
            | Is::Limit(_)
            | Is::Interval(_)
            | Is::Tolerance(_)
            | Is::Duration(_) => None,
        }
    }

    /// The figure that a ratio is taken of: what is aimed at, or the upper bound, or the lower.
    pub fn size(&self) -> Option<Size> {
        match &self.is {
            Is::Stage(Stage::Torque(torque)) => Size::of(torque.target().measure()),
            Is::Stage(Stage::Turn(turn)) => Size::of(turn.angle().measure()),
            Is::Limit(limit) => match limit.form() {
                Form::Around { nominal, .. } => Size::of(nominal),
                Form::Range | Form::AtMost | Form::AtLeast | Form::Below | Form::Above | Form::Fit(_) => {
                    Size::of(limit.bounds().high.as_ref().or(limit.bounds().low.as_ref())?)
                }
            },
            Is::Interval(interval) => Size::of(interval.high()),
            Is::Measure(measure) => Size::of(measure),
            Is::Tolerance(Tolerance::Share(share)) => Size::of(share),
            Is::Tolerance(Tolerance::Amount { plus, .. }) => Size::of(plus),
            Is::Duration(duration) => Some(Size {
                base: duration.seconds(),
                figure: duration.seconds(),
                unit: "s",
            }),
            Is::Amount(Amount::Measure(measure)) => Size::of(measure),
            Is::Amount(Amount::Count(count)) => Some(Size {
                base: Decimal::from(*count),
                figure: Decimal::from(*count),
                unit: "",
            }),
            Is::Stage(Stage::Hand) | Is::Words | Is::Named(_) => None,
        }
    }
}

impl Meaning for Value {
    fn feed(&self, sink: &mut Sink) {
        // What it comes to follows from the text, and is compared rather than printed.
        let Self { said, text: _, is: _ } = self;
        said.feed(sink);
    }
}

impl Sourced for Value {}

impl Speak for Value {
    fn speak(&mut self, language: Language) {
        let Self { said, text, is: _ } = self;
        said.speak(language);
        *text = said.english();
    }
}

impl Serialize for Value {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

impl Deref for Value {
    type Target = str;

    fn deref(&self) -> &str {
        &self.text
    }
}

impl fmt::Display for Value {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.text)
    }
}

impl From<&Sum> for Value {
    fn from(sum: &Sum) -> Value {
        match sum.single() {
            Some(amount) => Value::of(figures::sum(sum), Is::Amount(amount)),
            None => figures::sum(sum).into(),
        }
    }
}

impl From<Phrase> for Value {
    fn from(said: Phrase) -> Value {
        Value::of(said, Is::Words)
    }
}

impl From<&Phrase> for Value {
    fn from(said: &Phrase) -> Value {
        Value::from(said.clone())
    }
}

impl From<String> for Value {
    fn from(text: String) -> Value {
        Value::from(Phrase::from(text))
    }
}

impl From<&str> for Value {
    fn from(text: &str) -> Value {
        Value::from(Phrase::from(text))
    }
}

/// A value of the domain, printed as the author wrote it in canonical symbols.
macro_rules! printed {
    ($($type:ident: $said:expr),* $(,)?) => {
        $(impl From<&$type> for Value {
            fn from(value: &$type) -> Value {
                let said: fn(&$type) -> Phrase = $said;
                Value::of(said(value), Is::$type(value.clone()))
            }
        })*
    };
}

printed!(
    Stage: figures::stage,
    Limit: figures::limit,
    Interval: |interval| figures::interval(interval, By::Author),
    Measure: |measure| By::Author.figure(measure),
    Tolerance: |tolerance| By::Author.figure(tolerance),
    Duration: |duration| By::Author.figure(duration),
    Amount: |amount| By::Author.figure(amount),
);

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

fn in_other(measure: &Measure, unit: Option<Unit>) -> Option<Phrase> {
    Some(By::Us.figure(&measure.in_unit(unit?, Rounding::Nearest)?))
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
