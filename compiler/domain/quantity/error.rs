//! What can be wrong with a value, as data: where, what, and how to put it right.

use std::fmt;
use std::ops::Range;

use rust_decimal::Decimal;

use super::{Dimension, Unit};

/// A fault in the text of a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ValueError {
    /// The bytes of the text that are at fault; on character boundaries, possibly empty (something is missing there).
    pub at: Range<usize>,
    /// What the fault is.
    pub kind: ValueErrorKind,
}

/// What can be wrong with a value. Texts quoted are the author's own.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum ValueErrorKind {
    /// Nothing but space.
    Empty,
    /// A number was due here.
    NotANumber { found: String },
    /// A comma inside a number: a decimal comma or a thousands separator, which no reader can tell apart.
    CommaInNumber { found: String },
    /// A number with a sign in it that is no digit (`½`, `O` for a nought), a power of ten or spaces; and how it is written, if that is certain.
    OddNumber { found: String, suggestion: Option<String> },
    /// More digits than can be held exactly (28), or a fraction that isn't in halves down to 128ths.
    NumberOutOfRange { found: String },
    /// A number with a power of ten.
    Exponent { found: String },
    /// What a meter shows beyond its range, in place of a figure.
    Overload { found: String },
    /// A point that may shorten a word or begin a number: `max.5`.
    UnclearPoint { found: String },
    /// So large a deviation that no tool's certificate says it.
    NoDeviation { found: String },
    /// A torque or angle outside its own tolerance.
    TargetOutside,
    /// A number without a unit.
    MissingUnit { expected: Option<Dimension> },
    /// A range without a unit, and how it may be meant.
    RangeWithoutUnit { suggestion: String },
    /// A word behind a number that is no unit an amount can have; perhaps a pack.
    NotAnAmount { found: String },
    /// A tolerance class with a space in it, and the fit without.
    SpacedClass { found: String, fit: String },
    /// A unit nobody knows, and the one it was most likely meant for; or, where that is not certain, every unit that it may be: they are
    /// of other sizes.
    UnknownUnit {
        found: String,
        suggestion: Option<String>,
        choices: Vec<&'static str>,
    },
    /// A unit of the wrong dimension. `expected` lists what would do.
    WrongDimension {
        expected: Vec<Dimension>,
        found: Dimension,
        unit: Unit,
    },
    /// Two parts of one value with units of different dimensions.
    MixedDimensions { first: Dimension, second: Dimension },
    /// A range whose low end is above its high end.
    EmptyRange { low: String, high: String },
    /// Text after the end of a complete value.
    TrailingText { found: String },
    /// A tolerance below zero.
    NegativeTolerance,
    /// Colder than anything can be.
    BelowAbsoluteZero,
    /// A negative figure where only a positive one makes sense.
    Negative,
    /// A tolerance that leaves nothing above zero of a value; it as a share, if it can be meant so.
    ToleranceTooLarge { share: Option<String> },
    /// One plain figure where a range, a tolerance or a `max`/`min` is needed.
    NoLimit,
    /// Not a fit of ISO 286 that the tables hold; `reason` completes "… is not a fit:".
    UnknownFit { found: String, reason: String },
    /// Not a duration; `reason` completes "… is not a duration:".
    BadDuration { found: String, reason: String },
    /// Nothing after which fasteners are tightened once more.
    NoInterval { found: String },
    /// Not a thread of the tables; `reason` completes "… is not a thread:".
    UnknownThread { found: String, reason: String },
    /// Not a property class or grade of the tables, and the one it may have been meant for.
    UnknownClass { found: String, suggestion: Option<String> },
    /// A class that its standard doesn't set for a size.
    ClassSize {
        class: String,
        standard: String,
        thread: String,
    },
    /// Not a condition, material or other name of a table; `what` names the table.
    UnknownName {
        what: &'static str,
        found: String,
        suggestion: Option<String>,
    },
}

impl ValueError {
    /// A fault of a stretch of text.
    pub fn new(at: Range<usize>, kind: ValueErrorKind) -> ValueError {
        ValueError { at, kind }
    }

    /// The same fault in a text in which the value starts `by` bytes further on.
    pub fn shifted(mut self, by: usize) -> ValueError {
        self.at = self.at.start + by..self.at.end + by;
        self
    }

    /// What is wrong, in one plain sentence without a full stop.
    pub fn message(&self) -> String {
        match &self.kind {
            ValueErrorKind::Empty => "the value is empty".to_owned(),
            ValueErrorKind::NotANumber { found } if found.is_empty() => "a number is missing here".to_owned(),
            ValueErrorKind::NotANumber { found } => format!("{} is not a number", quoted(found)),
            ValueErrorKind::CommaInNumber { found } => match comma_read(found) {
                (Some(_), None) => format!("{} has a comma where a decimal point belongs", quoted(found)),
                _ => format!("{} has a comma, which may mean decimals or thousands", quoted(found)),
            },
            ValueErrorKind::OddNumber { found, .. } => format!("{} is not a number as it is written", quoted(found)),
            ValueErrorKind::NumberOutOfRange { found } => format!("{} can't be held exactly", quoted(found)),
            ValueErrorKind::Exponent { found } => format!("{} is written with a power of ten", quoted(found)),
            ValueErrorKind::Overload { found } => {
                format!("{} is what a meter shows beyond its range, not a figure", quoted(found))
            }
            ValueErrorKind::UnclearPoint { found } => {
                let (word, digits) = found.split_once('.').unwrap_or((found, ""));
                format!("{} may mean `{word} {digits}` or `{word} 0.{digits}`", quoted(found))
            }
            ValueErrorKind::NoDeviation { found } => format!("{} is more than a tool reads off", quoted(found)),
            ValueErrorKind::TargetOutside => "the figure lies outside its own tolerance".to_owned(),
            ValueErrorKind::MissingUnit {
                expected: Some(dimension),
            } => format!("the {dimension} has no unit"),
            ValueErrorKind::MissingUnit { expected: None } => "the number has no unit".to_owned(),
            ValueErrorKind::RangeWithoutUnit { .. } => "the range has no unit".to_owned(),
            ValueErrorKind::SpacedClass { found, .. } => {
                format!("{} has a space in its tolerance class", quoted(found))
            }
            ValueErrorKind::NotAnAmount { found } | ValueErrorKind::UnknownUnit { found, .. } => {
                format!("{} is not a unit", quoted(found))
            }
            ValueErrorKind::WrongDimension { expected, found, unit } => {
                format!("`{unit}` is a unit of {found}, not of {}", join(expected))
            }
            ValueErrorKind::MixedDimensions { first, second } => format!("the value mixes {first} and {second}"),
            ValueErrorKind::EmptyRange { low, high } => format!("the range is empty: {low} is above {high}"),
            ValueErrorKind::TrailingText { found } => format!("{} follows a complete value", quoted(found)),
            ValueErrorKind::NegativeTolerance => "the tolerance is negative".to_owned(),
            ValueErrorKind::Negative => "the value is negative".to_owned(),
            ValueErrorKind::BelowAbsoluteZero => "nothing is as cold as that: absolute zero is −273.15 °C".to_owned(),
            ValueErrorKind::ToleranceTooLarge { .. } => "the tolerance is at least as large as the value".to_owned(),
            ValueErrorKind::NoLimit => "one figure alone is not a limit".to_owned(),
            ValueErrorKind::UnknownFit { found, reason } => format!("{} is not a fit: {reason}", quoted(found)),
            ValueErrorKind::BadDuration { found, reason } => format!("{} is not a duration: {reason}", quoted(found)),
            ValueErrorKind::NoInterval { found } => {
                format!("{} is not a time, a distance or a number of heat cycles", quoted(found))
            }
            ValueErrorKind::UnknownThread { found, reason } => format!("{} is not a thread: {reason}", quoted(found)),
            ValueErrorKind::UnknownClass { found, .. } => {
                format!("{} is not a known property class or grade", quoted(found))
            }
            ValueErrorKind::ClassSize {
                class,
                standard,
                thread,
            } => {
                format!("{standard} sets no strength of {} for {thread}", quoted(class))
            }
            ValueErrorKind::UnknownName { what, found, .. } => format!("{} is not a known {what}", quoted(found)),
        }
    }

    /// What to put in place of the text at fault, where that is one thing.
    pub fn replacement(&self) -> Option<String> {
        match &self.kind {
            ValueErrorKind::CommaInNumber { found } => match comma_read(found) {
                (Some(only), None) | (None, Some(only)) => Some(only),
                _ => None,
            },
            ValueErrorKind::SpacedClass { fit, .. } => Some(fit.clone()),
            ValueErrorKind::OddNumber { suggestion, .. } => suggestion.clone(),
            ValueErrorKind::Exponent { found } if class_like(found).is_none() => plain(found),
            ValueErrorKind::UnknownClass { suggestion, .. } | ValueErrorKind::UnknownName { suggestion, .. } => {
                suggestion.clone()
            }
            _ => None,
        }
    }

    /// How to put it right, as one sentence without a full stop.
    pub fn help(&self) -> String {
        match &self.kind {
            ValueErrorKind::Empty => "write a value, such as `12 N·m`".to_owned(),
            ValueErrorKind::CommaInNumber { found } => match comma_read(found) {
                (Some(decimals), Some(thousands)) => format!(
                    "write {} for decimals or {} for thousands",
                    quoted(&decimals),
                    quoted(&thousands)
                ),
                (Some(only), None) | (None, Some(only)) => format!("write {}", quoted(&only)),
                (None, None) => NUMBER_HELP.to_owned(),
            },
            ValueErrorKind::NotANumber { .. } => NUMBER_HELP.to_owned(),
            ValueErrorKind::OddNumber {
                suggestion: Some(number),
                ..
            } => format!("write {}", quoted(number)),
            ValueErrorKind::OddNumber {
                found,
                suggestion: None,
            } if found.contains(['e', 'E']) => {
                "write the number in full; a tolerance class of ISO 286 stands behind a space, such as `30 e8`"
                    .to_owned()
            }
            ValueErrorKind::OddNumber { .. } => NUMBER_HELP.to_owned(),
            ValueErrorKind::NumberOutOfRange { .. } => {
                "write a decimal of at most 28 digits, or halves, quarters … 128ths".to_owned()
            }
            ValueErrorKind::Exponent { found } => match power_read(found) {
                (Some(plain), Some(class)) => format!(
                    "write {}; if a tolerance class of ISO 286 is meant, {}",
                    quoted(&plain),
                    quoted(&class)
                ),
                (Some(plain), None) => format!("write {}", quoted(&plain)),
                (None, _) => "write its digits out, or take a larger or smaller unit".to_owned(),
            },
            ValueErrorKind::Overload { .. } => "write the figure that must be reached, such as `min 20 MΩ`".to_owned(),
            ValueErrorKind::UnclearPoint { .. } => {
                "put a space before the number, and a nought before its point".to_owned()
            }
            ValueErrorKind::NoDeviation { .. } => {
                "write the deviation of the certificate: `-3 %` where it reads 3 % low, `+3 %` where it reads high"
                    .to_owned()
            }
            ValueErrorKind::TargetOutside => "write the figure to aim at, with its tolerance round it".to_owned(),
            ValueErrorKind::MissingUnit { expected } => {
                let unit = expected.map_or("mm", Dimension::example_unit);
                format!("write the unit after the number, such as `{unit}`")
            }
            ValueErrorKind::RangeWithoutUnit { suggestion } => {
                format!("write it with its unit, such as {}", quoted(suggestion))
            }
            ValueErrorKind::SpacedClass { fit, .. } => format!("write {}", quoted(fit)),
            ValueErrorKind::NotAnAmount { .. } => {
                "write a count alone, or an amount in a unit such as `g`, `mL`, `mm` or `cm²`; say the pack in `name` or `note`".to_owned()
            }
            ValueErrorKind::UnknownUnit {
                found,
                suggestion: Some(unit),
                ..
            } if unit.starts_with("US ") => {
                let bare = unit.trim_start_matches("US ");
                format!("say whose {found}: write `US {bare}` or `imp {bare}`")
            }
            ValueErrorKind::UnknownUnit {
                suggestion: Some(unit), ..
            } => format!("did you mean `{unit}`?"),
            ValueErrorKind::UnknownUnit { choices, .. } if !choices.is_empty() => {
                let choices: Vec<String> = choices.iter().map(|unit| format!("`{unit}`")).collect();
                format!("write the unit that is meant: {}", choices.join(", "))
            }
            ValueErrorKind::UnknownUnit { .. } => {
                "write a unit of the unit table, such as `N·m`, `mm` or `bar`".to_owned()
            }
            ValueErrorKind::WrongDimension {
                expected,
                found: Dimension::Mass,
                unit,
            } if expected.contains(&Dimension::Force) => {
                format!("a force in pounds or kilograms is written `{unit}f`")
            }
            ValueErrorKind::WrongDimension {
                expected,
                found: Dimension::Mass | Dimension::Force | Dimension::Stiffness | Dimension::LinearDensity,
                ..
            } if expected.contains(&Dimension::Torque) => {
                "a torque is a force times an arm: write `lbf·ft`, `lbf·in`, `kgf·cm` or `N·m`".to_owned()
            }
            ValueErrorKind::WrongDimension { expected, .. } => {
                let units: Vec<String> = expected
                    .iter()
                    .map(|dimension| format!("`{}`", dimension.example_unit()))
                    .collect();
                format!("write a unit of {}, such as {}", join(expected), units.join(" or "))
            }
            ValueErrorKind::MixedDimensions { .. } => "give both parts the same kind of unit".to_owned(),
            ValueErrorKind::EmptyRange { .. } => "write the low end first".to_owned(),
            ValueErrorKind::TrailingText { found } if found.starts_with('+') => {
                "write the stages as a list, such as `[20 N·m, +90°]`".to_owned()
            }
            ValueErrorKind::TrailingText { .. } => "put remarks in `note:`, not in the value".to_owned(),
            ValueErrorKind::NegativeTolerance => "write the tolerance without a sign, such as `± 10 %`".to_owned(),
            ValueErrorKind::Negative => "write a figure above zero".to_owned(),
            ValueErrorKind::ToleranceTooLarge { share: Some(share) } => {
                format!(
                    "if a share of the value is meant, write {}; else write a smaller tolerance",
                    quoted(share)
                )
            }
            ValueErrorKind::ToleranceTooLarge { share: None } => "write a tolerance smaller than the value".to_owned(),
            ValueErrorKind::BelowAbsoluteZero => {
                "mend the figure; a difference of two temperatures is written in `K` or `Δ°F`".to_owned()
            }
            ValueErrorKind::NoLimit => {
                "write `41.2..41.9 mm`, `0.20 ± 0.02 mm`, `max 0.05 mm`, `min 1.2 bar` or a fit such as `30 H7`"
                    .to_owned()
            }
            ValueErrorKind::UnknownFit { .. } => {
                "write a nominal size in millimetres and a tolerance class, such as `30 H7` or `50 g6`".to_owned()
            }
            ValueErrorKind::BadDuration { .. } => "write `12 min`, `1 h 30 min`, `24 h` or `PT12M`".to_owned(),
            ValueErrorKind::NoInterval { .. } => "write `50 h`, `800 km` or `3 heat cycles`".to_owned(),
            ValueErrorKind::UnknownThread { .. } => "write `M8`, `M8x1`, `3/8-16 UNC` or `No. 10-32 UNF`".to_owned(),
            ValueErrorKind::UnknownClass {
                suggestion: Some(name), ..
            }
            | ValueErrorKind::UnknownName {
                suggestion: Some(name), ..
            } => {
                format!("did you mean `{name}`?")
            }
            ValueErrorKind::UnknownClass { suggestion: None, .. } => {
                "write `8.8`, `10.9`, `grade 5`, `grade 8` or `A2-70`".to_owned()
            }
            ValueErrorKind::ClassSize { .. } => {
                "leave the class out, or write the one of a standard that covers the size".to_owned()
            }
            ValueErrorKind::UnknownName {
                what, suggestion: None, ..
            } => format!("use a {what} of the table"),
        }
    }
}

const NUMBER_HELP: &str = "write digits with a decimal point, such as `12.5`, or a fraction, such as `3/8`";

/// A number with a comma in it, read as a decimal comma and as one that parts thousands; `None` where it can't be meant so.
pub fn comma_read(found: &str) -> (Option<String>, Option<String>) {
    (decimals(found), thousands(found))
}

/// A number with a power of ten in plain digits, and as a size with a tolerance class, `5 e6`; `None` where it can't be meant so.
pub fn power_read(found: &str) -> (Option<String>, Option<String>) {
    (plain(found), class_like(found))
}

/// `1.5e-3` or `2×10^5` in plain digits; `None` beyond twelve places either way.
fn plain(found: &str) -> Option<String> {
    let split = found.find(['e', 'E', '×', 'x', 'X', '*', '·', '⋅'])?;
    let (mantissa, raised) = found.split_at(split);
    let power: String = raised
        .trim_start_matches(['e', 'E', '×', 'x', 'X', '*', '·', '⋅', ' '])
        .chars()
        .filter_map(|letter| match letter {
            '⁻' | '−' | '-' => Some('-'),
            '⁰' => Some('0'),
            '¹' => Some('1'),
            '²' => Some('2'),
            '³' => Some('3'),
            '⁴'..='⁹' => char::from_digit(letter as u32 - '⁰' as u32, 10),
            letter if letter.is_ascii_digit() => Some(letter),
            '^' | '*' => Some(' '),
            _ => None,
        })
        .collect();
    let power = match raised.starts_with(['e', 'E']) {
        true => power,
        false => power.strip_prefix("10")?.trim().to_owned(),
    };
    let power: i32 = power.trim().parse().ok().filter(|power: &i32| power.abs() <= 12)?;
    let value = Decimal::from_str_exact(&mantissa.trim().replace('−', "-")).ok()?;
    let ten = Decimal::from(10_u64.pow(power.unsigned_abs()));
    let value = if power < 0 {
        value.checked_div(ten)?
    } else {
        value.checked_mul(ten)?
    };
    Some(value.normalize().to_string())
}

/// `5 e6` of `5e6`, which may be a shaft as well as a power of ten: grades end at 18.
fn class_like(found: &str) -> Option<String> {
    let at = found.find(['e', 'E'])?;
    let (size, class) = found.split_at(at);
    let grade = class.strip_prefix(['e', 'E'])?;
    let is_grade =
        grade.bytes().all(|byte| byte.is_ascii_digit()) && grade.parse().is_ok_and(|g: u8| (1..=18).contains(&g));
    is_grade.then(|| format!("{size} {class}"))
}

/// A number with one comma and no point, its comma read as a decimal point.
fn decimals(found: &str) -> Option<String> {
    (found.matches(',').count() == 1 && !found.contains('.')).then(|| found.replace(',', "."))
}

/// A number whose commas can part thousands, without them: three digits after each, and no nought in front.
fn thousands(found: &str) -> Option<String> {
    let whole = found.split_once('.').map_or(found, |(whole, _)| whole);
    let mut groups = whole.trim_start_matches(['-', '−']).split(',');
    let first = groups.next().unwrap_or("");
    let parted = (1..=3).contains(&first.len()) && !first.starts_with('0') && groups.all(|group| group.len() == 3);
    (parted && found.matches(',').count() == whole.matches(',').count()).then(|| found.replace(',', ""))
}

impl fmt::Display for ValueError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} ({})", self.message(), self.help())
    }
}

impl std::error::Error for ValueError {}

/// An author's text between backticks, on one line and cut where it gets long.
pub fn quoted(text: &str) -> String {
    const LONGEST: usize = 40;
    let mut short: String = text
        .chars()
        .take(LONGEST)
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect();
    if text.chars().nth(LONGEST).is_some() {
        short.push('…');
    }
    format!("`{short}`")
}

/// `torque`, `torque or angle`, `mass, volume or length`.
fn join(dimensions: &[Dimension]) -> String {
    match dimensions {
        [] => "anything here".to_owned(),
        [one] => one.to_string(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(|dimension| dimension.name()).collect();
            format!("{} or {last}", first.join(", "))
        }
    }
}
