//! A limit on a measurement.

use std::cmp::Ordering;
use std::fmt;

use rust_decimal::Decimal;

use super::fits::spaced_class;
use super::{Expression, Interval, Tolerance};
use crate::fit::Fit;
use crate::quantity::{Dimension, Measure, Rounding, Scan, Unit, ValueError, ValueErrorKind};

/// A limit as an author wrote it, with the bounds it sets. At least one bound is there, and the low one isn't above the high one.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    form: Form,
    bounds: Bounds,
}

/// How the author put a limit.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// `41.2..41.9 mm`.
    Range,
    /// `0.20 ± 0.02 mm`, `12 V ± 5 %`, `10 +0.02/-0.01 mm`.
    Around {
        /// The figure aimed at.
        nominal: Measure,
        /// How far off it may be.
        tolerance: Tolerance,
    },
    /// `max 0.05 mm`.
    AtMost,
    /// `min 1.2 bar`.
    AtLeast,
    /// `< 0.05 mm`: the figure itself is out.
    Below,
    /// `> 1.2 bar`: the figure itself is out.
    Above,
    /// `30 H7`: size and tolerance class of ISO 286.
    Fit(Fit),
}

/// A lower bound, an upper bound, or both, of one dimension.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bounds {
    /// The least allowed, itself included.
    pub low: Option<Measure>,
    /// The most allowed, itself included.
    pub high: Option<Measure>,
    /// Whether the bounds themselves are out: `< 0.05 mm`. Never so for a range.
    pub open: bool,
}

impl Limit {
    /// Reads a limit: a range, a nominal with a tolerance, `max …`, `min …`, or a size with an ISO 286 tolerance class.
    ///
    /// # Errors
    /// If the text is none of these, has no unit (a fit needs none: millimetres), mixes dimensions, or allows nothing.
    pub fn parse(text: &str) -> Result<Limit, ValueError> {
        let limit = Limit::read(text)?;
        let bounds = limit.bounds.low.iter().chain(&limit.bounds.high);
        match bounds.clone().all(Measure::is_possible) {
            true => Ok(limit),
            false => Err(ValueError::new(
                Scan::new(text).remainder(),
                ValueErrorKind::BelowAbsoluteZero,
            )),
        }
    }

    fn read(text: &str) -> Result<Limit, ValueError> {
        let whole = || Scan::new(text).remainder();
        let limit = |form, low, high| {
            Ok(Limit {
                form,
                bounds: Bounds { low, high, open: false },
            })
        };
        match Expression::parse(text, &[]).map_err(|error| spaced_class(text).unwrap_or(error))? {
            Expression::Exact(_) => Err(ValueError::new(whole(), ValueErrorKind::NoLimit)),
            Expression::Range(interval) => {
                limit(Form::Range, Some(interval.low().clone()), Some(interval.high().clone()))
            }
            Expression::AtMost(high) => limit(Form::AtMost, None, Some(high)),
            Expression::AtLeast(low) => limit(Form::AtLeast, Some(low), None),
            Expression::Below(high) => limit(Form::Below, None, Some(high)).map(Limit::without_ends),
            Expression::Above(low) => limit(Form::Above, Some(low), None).map(Limit::without_ends),
            Expression::Around(nominal, tolerance) => {
                let found = || ValueErrorKind::NumberOutOfRange {
                    found: text.trim().to_owned(),
                };
                let (low, high) = tolerance
                    .around(&nominal)
                    .ok_or_else(|| ValueError::new(whole(), found()))?;
                limit(Form::Around { nominal, tolerance }, Some(low), Some(high))
            }
            Expression::Class { size, unit, class, at } => {
                let fit = Fit::of(size, unit, &class, at)?;
                let (low, high) = fit.bounds();
                limit(Form::Fit(fit), Some(low), Some(high))
            }
        }
    }

    fn without_ends(mut self) -> Limit {
        self.bounds.open = true;
        self
    }

    /// How the author put it.
    pub fn form(&self) -> &Form {
        &self.form
    }

    /// The bounds in words where the author's own form doesn't say them: of a tolerance, and of a fit.
    pub fn worked_out(&self) -> Option<String> {
        matches!(self.form, Form::Around { .. } | Form::Fit(_)).then(|| self.bounds.to_string())
    }

    /// The bounds, in the author's unit (millimetres for a fit).
    pub fn bounds(&self) -> &Bounds {
        &self.bounds
    }

    /// What is measured.
    pub fn dimension(&self) -> Dimension {
        self.unit().dimension()
    }

    /// The author's unit.
    pub fn unit(&self) -> Unit {
        self.bounds.unit()
    }

    /// The bounds in another unit, rounded inward to the figures' own significance and at least to a tenth of the width; the
    /// author's own where the unit is the same. `None` if it measures something else.
    pub fn in_unit(&self, unit: Unit) -> Option<Bounds> {
        self.bounds.in_unit(unit)
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.form {
            Form::Around {
                nominal,
                tolerance: Tolerance::Amount { plus, minus },
            } if plus == minus && plus.unit() == nominal.unit() => {
                write!(formatter, "{} ± {plus}", nominal.figure())
            }
            Form::Around { nominal, tolerance } => write!(formatter, "{nominal} {tolerance}"),
            Form::Fit(fit) => fit.fmt(formatter),
            Form::Range | Form::AtMost | Form::AtLeast | Form::Below | Form::Above => self.bounds.fmt(formatter),
        }
    }
}

impl Bounds {
    /// Both bounds of an interval.
    pub fn of(interval: &Interval) -> Bounds {
        Bounds {
            low: Some(interval.low().clone()),
            high: Some(interval.high().clone()),
            open: false,
        }
    }

    fn any(&self) -> Option<&Measure> {
        self.high.as_ref().or(self.low.as_ref())
    }

    /// The unit of the bounds: that of the upper one, if there is one.
    pub fn unit(&self) -> Unit {
        // A limit always has a bound; bounds made by hand without any are taken for a length.
        self.any()
            .map(Measure::unit)
            .or_else(|| Unit::find("mm"))
            .unwrap_or_else(Unit::first)
    }

    /// The width between the bounds in [`unit`](Self::unit), if both are there.
    pub fn width(&self) -> Option<Measure> {
        Interval::new(self.low.clone()?, self.high.clone()?)?.width()
    }

    /// Whether a measure is allowed; `None` if it measures something else.
    pub fn allow(&self, measure: &Measure) -> Option<bool> {
        let within = |order: Ordering, outside: Ordering| order != outside && !(self.open && order == Ordering::Equal);
        let low = self
            .low
            .as_ref()
            .map(|low| measure.compare(low))
            .map_or(Some(true), |order| order.map(|order| within(order, Ordering::Less)))?;
        let high = self
            .high
            .as_ref()
            .map(|high| measure.compare(high))
            .map_or(Some(true), |order| order.map(|order| within(order, Ordering::Greater)))?;
        Some(low && high)
    }

    /// In another unit, rounded inward: the lower bound up, the upper down, so that nothing is allowed that wasn't. Rounded to the
    /// figures' own significance, or as much finer as it takes for the step to be no more than a tenth of the width.
    pub fn in_unit(&self, unit: Unit) -> Option<Bounds> {
        if [&self.low, &self.high]
            .into_iter()
            .flatten()
            .all(|bound| bound.unit() == unit)
        {
            return Some(self.clone());
        }
        let place_of = |bound: &Measure| {
            let converted = bound.unit().convert(bound.value(), unit)?;
            Some(bound.figure().converted_place(converted, bound.unit(), unit))
        };
        let mut place = [&self.low, &self.high].into_iter().flatten().map(place_of).min()??;
        if let Some(width) = self.width() {
            let width = width.unit().convert_difference(width.value(), unit)?;
            if !width.is_zero() {
                place = place.min(tenth_place(width));
            }
        }
        self.in_unit_to_place(unit, place)
    }

    /// In another unit, rounded inward to the power of ten `place`: -4 for ten-thousandths. `None` if the unit measures something
    /// else, or if nothing that coarse lies between the bounds.
    pub fn in_unit_to_place(&self, unit: Unit, place: i32) -> Option<Bounds> {
        let convert = |bound: &Option<Measure>, rounding| match bound {
            Some(bound) => bound.in_unit_to_place(unit, place, rounding).map(Some),
            None => Some(None),
        };
        let bounds = Bounds {
            low: convert(&self.low, Rounding::Up)?,
            high: convert(&self.high, Rounding::Down)?,
            open: self.open,
        };
        match (&bounds.low, &bounds.high) {
            (Some(low), Some(high)) if low.compare(high)? == Ordering::Greater => None,
            _ => Some(bounds),
        }
    }
}

/// The place of the largest power of ten that is at most a tenth of `width`.
fn tenth_place(width: Decimal) -> i32 {
    crate::quantity::leading_place(width) - 1
}

impl fmt::Display for Bounds {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.low, &self.high) {
            (Some(low), Some(high)) => match Interval::new(low.clone(), high.clone()) {
                Some(interval) => interval.fmt(formatter),
                None => write!(formatter, "{low} to {high}"),
            },
            (None, Some(high)) if self.open => write!(formatter, "< {high}"),
            (Some(low), None) if self.open => write!(formatter, "> {low}"),
            (None, Some(high)) => write!(formatter, "max {high}"),
            (Some(low), None) => write!(formatter, "min {low}"),
            (None, None) => Ok(()),
        }
    }
}
