//! A range with both its ends.

use std::cmp::Ordering;
use std::fmt;
use std::ops::Range;

use super::Expression;
use crate::quantity::{Dimension, Figure, Measure, Scan, ValueError, ValueErrorKind};

/// From one measure to another of the same dimension, the first not above the second: a tool's range, `5..25 N·m`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Interval {
    low: Measure,
    high: Measure,
}

impl Interval {
    /// An interval, unless the ends measure different things or stand the wrong way round.
    pub fn new(low: Measure, high: Measure) -> Option<Interval> {
        matches!(low.compare(&high), Some(Ordering::Less | Ordering::Equal)).then_some(Interval { low, high })
    }

    /// Reads `5..25 N·m`, `5 N·m..25 N·m`, `5–25 N·m`, `5 to 25 N·m`; `dimensions` lists what will do, none meaning anything.
    ///
    /// # Errors
    /// If the text isn't a range, has no unit or one of another dimension, or its low end is above its high end.
    pub fn parse(text: &str, dimensions: &[Dimension]) -> Result<Interval, ValueError> {
        match Expression::parse(text, dimensions)? {
            Expression::Range(interval) => Ok(interval),
            _ => Err(ValueError::new(Scan::new(text).remainder(), ValueErrorKind::NoLimit)),
        }
    }

    pub(crate) fn checked(low: Measure, high: Measure, at: Range<usize>) -> Result<Interval, ValueError> {
        let kind = ValueErrorKind::EmptyRange {
            low: low.figure().to_string(),
            high: high.figure().to_string(),
        };
        Interval::new(low, high).ok_or(ValueError::new(at, kind))
    }

    /// The lower end, as written.
    pub fn low(&self) -> &Measure {
        &self.low
    }

    /// The upper end, as written.
    pub fn high(&self) -> &Measure {
        &self.high
    }

    /// What is measured.
    pub fn dimension(&self) -> Dimension {
        self.low.dimension()
    }

    /// Whether a measure lies within, ends included; `None` if it measures something else.
    pub fn contains(&self, measure: &Measure) -> Option<bool> {
        Some(measure.compare(&self.low)? != Ordering::Less && measure.compare(&self.high)? != Ordering::Greater)
    }

    /// The difference of the ends, in the upper end's unit. `None` only beyond the range of decimals.
    pub fn width(&self) -> Option<Measure> {
        let low = self.low.unit().convert(self.low.value(), self.high.unit())?;
        let width = self.high.value().checked_sub(low)?;
        Some(Measure::new(Figure::computed(width), self.high.unit()))
    }
}

impl fmt::Display for Interval {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (low, high) = (&self.low, &self.high);
        // An en dash next to a minus sign can't be read.
        let dash = if high.value().is_sign_negative() { " to " } else { "–" };
        if low.unit() == high.unit() {
            write!(formatter, "{}{dash}{high}", low.figure())
        } else {
            write!(formatter, "{low} to {high}")
        }
    }
}
