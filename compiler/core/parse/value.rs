//! Faults of values: the domain says what is wrong and where in the text, this says which rule that is and where in the file.

use crate::domain::quantity::{ValueError, ValueErrorKind};
use crate::finding::Finding;
use crate::parse::rules::{bad_value, empty_range, missing_unit, unknown_unit, wrong_dimension};
use crate::source::Span;

/// The finding for a fault in the value written at `span`.
pub fn finding(span: Span, error: &ValueError) -> Finding {
    // A fault of no width, such as a missing unit, is shown under the whole value.
    let at = if error.at.is_empty() {
        span
    } else {
        span.slice(error.at.clone())
    };
    match error.kind {
        ValueErrorKind::MissingUnit { .. } | ValueErrorKind::RangeWithoutUnit { .. } => {
            missing_unit::finding(at, error)
        }
        ValueErrorKind::UnknownUnit { .. } | ValueErrorKind::NotAnAmount { .. } => unknown_unit::finding(at, error),
        ValueErrorKind::WrongDimension { .. } | ValueErrorKind::MixedDimensions { .. } => {
            wrong_dimension::finding(at, error)
        }
        ValueErrorKind::EmptyRange { .. } => empty_range::finding(at, error),
        _ => bad_value::finding(at, error),
    }
}
