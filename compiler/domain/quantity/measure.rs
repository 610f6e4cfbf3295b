//! A figure with its unit: [`Measure`] when the dimension is known only at run time, [`Written`] when it is part of the type.

use std::cmp::Ordering;
use std::fmt;

use rust_decimal::Decimal;

use super::scan::Scan;
use super::{Dimension, Figure, Kind, Rounding, Unit, ValueError, round_to_place};

/// A figure and a unit, such as a tool's range or a limit may hold: what it measures is known at run time.
///
/// Prints canonically: the figure exactly as written, then the unit's canonical symbol (`12 N·m`, `90°`).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measure {
    figure: Figure,
    unit: Unit,
}

impl Measure {
    /// A figure of a unit.
    pub fn new(figure: Figure, unit: Unit) -> Measure {
        Measure { figure, unit }
    }

    /// Reads `12 N·m`, `0.5 mm`, `1-1/2 in`.
    ///
    /// # Errors
    /// If the text isn't a number and a unit, or more follows.
    pub fn parse(text: &str) -> Result<Measure, ValueError> {
        Measure::parse_any_of(text, &[])
    }

    /// Reads a measure of one of several dimensions; none listed means any.
    ///
    /// # Errors
    /// As [`parse`](Self::parse), and if the unit is of another dimension.
    pub fn parse_any_of(text: &str, dimensions: &[Dimension]) -> Result<Measure, ValueError> {
        let mut scan = Scan::new(text);
        if scan.at_end() {
            return Err(ValueError::new(scan.remainder(), super::ValueErrorKind::Empty));
        }
        let found = scan.measure(dimensions.first().copied())?;
        if !dimensions.is_empty() {
            found.expect(dimensions)?;
        }
        scan.finish()?;
        if !found.measure.is_possible() {
            return Err(ValueError::new(
                found.figure_at,
                super::ValueErrorKind::BelowAbsoluteZero,
            ));
        }
        Ok(found.measure)
    }

    /// False of a temperature below absolute zero (−273.15 °C; BIPM, SI Brochure).
    pub fn is_possible(&self) -> bool {
        let lowest = self.dimension() == super::Dimension::Temperature;
        // What a unit's factor leaves of zero is no temperature.
        !lowest || self.unit.to_si(self.value()) > -1e-9
    }

    /// The figure, as written or as worked out.
    pub fn figure(&self) -> &Figure {
        &self.figure
    }

    /// The decimal value of the figure, in [`unit`](Self::unit).
    pub fn value(&self) -> Decimal {
        self.figure.value()
    }

    /// The unit.
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// What is measured.
    pub fn dimension(&self) -> Dimension {
        self.unit.dimension()
    }

    /// The `uom` quantity, `None` if this measures something else.
    pub fn quantity<Q: Kind>(&self) -> Option<Q> {
        (self.dimension() == Q::DIMENSION).then(|| Q::from_si(self.unit.to_si(self.value())))
    }

    /// How many coherent SI units it is, whatever it measures.
    pub fn si(&self) -> f64 {
        self.unit.to_si(self.value())
    }

    /// The same as a typed quantity, `None` if this measures something else.
    pub fn typed<Q: Kind>(&self) -> Option<Written<Q>> {
        self.quantity().map(|quantity| Written {
            quantity,
            measure: self.clone(),
        })
    }

    /// In another unit, rounded to the figure's own significance (see [`Figure::digits`]); as written where the unit is the same.
    /// `None` if the units measure different things.
    pub fn in_unit(&self, unit: Unit, rounding: Rounding) -> Option<Measure> {
        self.figure
            .convert(self.unit, unit, rounding)
            .map(|figure| Measure { figure, unit })
    }

    /// In another unit, rounded to the power of ten `place`: -2 for hundredths. `None` if the units measure different things.
    pub fn in_unit_to_place(&self, unit: Unit, place: i32, rounding: Rounding) -> Option<Measure> {
        let value = self.unit.convert(self.value(), unit)?;
        Some(Measure {
            figure: Figure::computed(round_to_place(value, place, rounding)),
            unit,
        })
    }

    /// Compares two measures by exact value; `None` if they measure different things.
    pub fn compare(&self, other: &Measure) -> Option<Ordering> {
        other
            .unit
            .convert(other.value(), self.unit)
            .map(|value| self.value().cmp(&value))
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        // The SI brochure (5.4.3) puts a space before every unit but the degree of a plane angle.
        let space = if self.unit.symbol() == "°" { "" } else { " " };
        write!(formatter, "{}{space}{}", self.figure, self.unit)
    }
}

/// A quantity as an author wrote it: the SI value, typed, and beside it the figure and unit as written.
#[derive(Clone, Debug, PartialEq)]
pub struct Written<Q> {
    quantity: Q,
    measure: Measure,
}

impl<Q: Kind> Written<Q> {
    /// Reads a figure and a unit of `Q`'s dimension: `Written::<Torque>::parse("12 N·m")`.
    ///
    /// # Errors
    /// If the text isn't a number and a unit of that dimension, or more follows.
    pub fn parse(text: &str) -> Result<Written<Q>, ValueError> {
        let measure = Measure::parse_any_of(text, &[Q::DIMENSION])?;
        Ok(Written {
            quantity: Q::from_si(measure.unit.to_si(measure.value())),
            measure,
        })
    }

    /// A quantity that was worked out, given in `unit` to the power of ten `place`. `None` if the unit measures something else or
    /// the value isn't finite. The SI value is that of the rounded figure: what is printed is what is meant.
    pub fn computed(quantity: Q, unit: Unit, place: i32, rounding: Rounding) -> Option<Written<Q>> {
        if unit.dimension() != Q::DIMENSION {
            return None;
        }
        let value = round_to_place(unit.figure_of_si(quantity.si())?, place, rounding);
        Measure::new(Figure::computed(value), unit).typed()
    }

    /// The SI value.
    pub fn quantity(&self) -> Q {
        self.quantity
    }

    /// Figure and unit, untyped.
    pub fn measure(&self) -> &Measure {
        &self.measure
    }

    /// The figure as written.
    pub fn figure(&self) -> &Figure {
        &self.measure.figure
    }

    /// The unit as written.
    pub fn unit(&self) -> Unit {
        self.measure.unit
    }

    /// In another unit; see [`Measure::in_unit`].
    pub fn in_unit(&self, unit: Unit, rounding: Rounding) -> Option<Written<Q>> {
        self.measure.in_unit(unit, rounding)?.typed()
    }
}

impl<Q> fmt::Display for Written<Q> {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.measure.fmt(formatter)
    }
}

impl<Q> From<Written<Q>> for Measure {
    fn from(written: Written<Q>) -> Measure {
        written.measure
    }
}
