//! Why a reading can't be read, on a leaf: the same that a finding says of a value, in the words of the tables.

use crate::domain::quantity::{Dimension, ValueError, ValueErrorKind};
use crate::words::{Phrase, joined, phrase, say};

/// What was written, what is wrong with it, and what to write.
#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "a reading meets few of the faults of values"
)]
pub fn unreadable(text: &str, error: &ValueError) -> Phrase {
    let what = match &error.kind {
        ValueErrorKind::Empty => say::value_empty(),
        ValueErrorKind::NotANumber { found } if found.is_empty() => say::value_number_missing(),
        ValueErrorKind::NotANumber { .. } => say::value_no_number(),
        ValueErrorKind::CommaInNumber { .. } => say::value_comma(),
        ValueErrorKind::OddNumber { .. } => say::value_odd_number(),
        ValueErrorKind::NumberOutOfRange { .. } => say::value_out_of_range(),
        ValueErrorKind::MissingUnit { .. } => say::value_no_unit(),
        ValueErrorKind::UnknownUnit { .. } => say::value_unknown_unit(),
        ValueErrorKind::WrongDimension { .. } => say::value_other_dimension(),
        ValueErrorKind::TrailingText { .. } => say::value_trailing(),
        _ => say::value_unreadable(),
    };
    phrase!("`", text, "`: ", what, "; ", help(error))
}

#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "a reading meets few of the faults of values"
)]
fn help(error: &ValueError) -> Phrase {
    if let Some(becomes) = error.replacement() {
        return say::write_this(becomes);
    }
    match &error.kind {
        ValueErrorKind::WrongDimension { expected, .. } => {
            let units = expected.iter().map(|d| phrase!("`", d.example_unit(), "`"));
            say::write_a_unit(joined(units, ", "))
        }
        ValueErrorKind::MissingUnit { expected } => {
            let unit = expected.map_or("mm", Dimension::example_unit);
            say::write_a_unit(phrase!("`", unit, "`"))
        }
        ValueErrorKind::UnknownUnit {
            suggestion: Some(unit), ..
        } => say::write_a_unit(phrase!("`", unit, "`")),
        _ => say::write_a_figure(),
    }
}
