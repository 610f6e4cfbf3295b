//! A tightening torque as an author gives it.

use std::fmt;

use rust_decimal::Decimal;
use uom::si::f64::Torque;

use crate::limit::{Bounds, Expression, Interval, Tolerance};
use crate::quantity::{Dimension, Figure, Measure, Rounding, Scan, Unit, ValueError, ValueErrorKind, Written};

/// A torque above zero, with its tolerance if it has one: `12 N·m`, `12 N·m ± 10 %`, `12 ± 2 N·m`, `20..24 N·m`.
#[derive(Clone, Debug, PartialEq)]
pub struct TorqueValue {
    target: Written<Torque>,
    tolerance: Option<Tolerance>,
    range: Option<Interval>,
    low: Written<Torque>,
    high: Written<Torque>,
}

impl TorqueValue {
    /// Reads a torque.
    ///
    /// # Errors
    /// If the text isn't a torque with an optional tolerance, or one of its bounds isn't above zero.
    pub fn parse(text: &str) -> Result<TorqueValue, ValueError> {
        let whole = Scan::new(text).remainder();
        let fail = |kind| Err(ValueError::new(whole.clone(), kind));
        let value = match Expression::parse(text, &[Dimension::Torque])? {
            Expression::Exact(target) => TorqueValue::of(&target, None),
            Expression::Around(target, tolerance) => TorqueValue::of(&target, Some(tolerance)),
            Expression::Range(range) => TorqueValue::between(range),
            Expression::AtMost(_)
            | Expression::AtLeast(_)
            | Expression::Below(_)
            | Expression::Above(_)
            | Expression::Class { .. } => {
                let (found, at) = Scan::new(text).word();
                return Err(ValueError::new(at, ValueErrorKind::NotANumber { found }));
            }
        };
        match value {
            None => fail(ValueErrorKind::NumberOutOfRange {
                found: text.trim().to_owned(),
            }),
            Some(value) if value.low.measure().value() <= Decimal::ZERO => fail(value.not_above_zero()),
            Some(value) if !value.holds_its_target() => fail(ValueErrorKind::TargetOutside),
            Some(value) => Ok(value),
        }
    }

    fn of(target: &Measure, tolerance: Option<Tolerance>) -> Option<TorqueValue> {
        let (low, high) = match &tolerance {
            Some(tolerance) => tolerance.around(target)?,
            None => (target.clone(), target.clone()),
        };
        Some(TorqueValue {
            target: target.typed()?,
            tolerance,
            range: None,
            low: low.typed()?,
            high: high.typed()?,
        })
    }

    /// Whether what is aimed at is allowed: two deviations may lie to one side of it.
    fn holds_its_target(&self) -> bool {
        let target = self.target.quantity();
        self.low.quantity() <= target && target <= self.high.quantity()
    }

    /// Why its low bound isn't above zero.
    fn not_above_zero(&self) -> ValueErrorKind {
        if self.tolerance.is_none() || self.target.measure().value() <= Decimal::ZERO {
            return ValueErrorKind::Negative;
        }
        let share = match &self.tolerance {
            Some(Tolerance::Amount { plus, minus }) if plus == minus && plus.value() < Decimal::ONE_HUNDRED => {
                Some(format!("± {} %", plus.figure()))
            }
            _ => None,
        };
        ValueErrorKind::ToleranceTooLarge { share }
    }

    fn between(range: Interval) -> Option<TorqueValue> {
        let unit = range.high().unit();
        let low = range.low().unit().convert(range.low().value(), unit)?;
        let middle = low
            .checked_add(range.high().value())?
            .checked_div(Decimal::TWO)?
            .normalize();
        let target = Measure::new(Figure::computed(middle), unit).typed()?;
        Some(TorqueValue {
            target,
            tolerance: None,
            low: range.low().typed()?,
            high: range.high().typed()?,
            range: Some(range),
        })
    }

    /// The same torque under a tolerance given elsewhere, unless it has its own. `None` if the tolerance leaves no torque above
    /// zero or isn't one of torques.
    pub fn or_tolerance(&self, tolerance: &Tolerance) -> Option<TorqueValue> {
        if self.tolerance.is_some() || self.range.is_some() {
            return Some(self.clone());
        }
        let value = TorqueValue::of(self.target.measure(), Some(tolerance.clone()))?;
        (value.low.measure().value() > Decimal::ZERO).then_some(value)
    }

    /// The torque to aim at: the figure as written, or the middle of a range.
    pub fn target(&self) -> &Written<Torque> {
        &self.target
    }

    /// The tolerance, if the author gave one (a range has none).
    pub fn tolerance(&self) -> Option<&Tolerance> {
        self.tolerance.as_ref()
    }

    /// Whether the author gave a range or a tolerance, so that [`low`](Self::low) and [`high`](Self::high) are known.
    pub fn has_bounds(&self) -> bool {
        self.tolerance.is_some() || self.range.is_some()
    }

    /// Whether the author gave a range: any torque of it will do.
    pub fn is_range(&self) -> bool {
        self.range.is_some()
    }

    /// The least torque allowed; the target itself where there is no tolerance.
    pub fn low(&self) -> &Written<Torque> {
        &self.low
    }

    /// The greatest torque allowed; the target itself where there is no tolerance.
    pub fn high(&self) -> &Written<Torque> {
        &self.high
    }

    /// The author's unit.
    pub fn unit(&self) -> Unit {
        self.target.unit()
    }

    /// In another unit, for print beside the author's figure: a range as bounds rounded inward, anything else as the target
    /// rounded to its own significance. `None` if the unit isn't one of torque.
    pub fn in_unit(&self, unit: Unit) -> Option<String> {
        match &self.range {
            Some(range) => Bounds::of(range).in_unit(unit).map(|bounds| bounds.to_string()),
            None => self
                .target
                .in_unit(unit, Rounding::Nearest)
                .map(|target| target.to_string()),
        }
    }
}

impl fmt::Display for TorqueValue {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.range, &self.tolerance) {
            (Some(range), _) => range.fmt(formatter),
            (None, Some(Tolerance::Amount { plus, minus })) if plus == minus && plus.unit() == self.unit() => {
                write!(formatter, "{} ± {plus}", self.target.figure())
            }
            (None, Some(tolerance)) => write!(formatter, "{} {tolerance}", self.target),
            (None, None) => self.target.fmt(formatter),
        }
    }
}
