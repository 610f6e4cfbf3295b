//! Figures with what they are measured in.

use super::shape::{Powers, coherent};
use crate::quantity::{Dimension, Figure, Measure, Rounding, Unit, round_to_place};
use rust_decimal::Decimal;

/// What the figures of a value are measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale {
    /// Plain numbers.
    Plain,
    Unit(Unit),
    /// Coherent SI units of a product that has no name.
    Si(Powers),
}

/// One figure or a grid of them, row by row.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    pub figures: Vec<Decimal>,
    pub columns: usize,
    pub scale: Scale,
    /// A temperature, as against a difference of two.
    pub point: bool,
}

impl Value {
    /// Readings of a measurement, row by row, all in the unit of the first. `None` without a reading, or where they measure
    /// different things.
    pub fn readings(readings: &[Measure], columns: usize) -> Option<Value> {
        let unit = readings.first()?.unit();
        let own = |m: &Measure| m.unit().convert(m.value(), unit);
        let figures = readings.iter().map(own).collect::<Option<Vec<_>>>()?;
        let value = Value {
            figures,
            columns: columns.max(1),
            scale: Scale::Unit(unit),
            point: unit.dimension() == Dimension::Temperature,
        };
        value.plain()
    }

    pub(super) fn one(figure: Decimal, scale: Scale) -> Value {
        Value {
            figures: vec![figure],
            columns: 1,
            scale,
            point: false,
        }
    }

    pub(super) fn literal(measure: &Measure) -> Option<Value> {
        let value = Value {
            point: measure.dimension() == Dimension::Temperature,
            ..Value::one(measure.value(), Scale::Unit(measure.unit()))
        };
        value.plain()
    }

    /// Shares and slopes become plain numbers: `0.4 %` is 0.004, `2 mm/m` 0.002.
    fn plain(self) -> Option<Value> {
        let Scale::Unit(unit) = self.scale else {
            return Some(self);
        };
        let Some((whole, count)) = plain_unit(unit) else {
            return Some(self);
        };
        let of = |f: &Decimal| unit.convert(*f, whole)?.checked_div(count);
        let figures = self.figures.iter().map(of).collect::<Option<Vec<_>>>()?;
        Some(Value {
            figures,
            scale: Scale::Plain,
            ..self
        })
    }

    pub(super) fn powers(&self) -> Powers {
        match self.scale {
            Scale::Plain => Powers::NONE,
            Scale::Unit(unit) => Powers::of(unit.dimension()),
            Scale::Si(powers) => powers,
        }
    }

    /// The same on another scale; `None` where it measures something else.
    pub(super) fn on(&self, scale: Scale) -> Option<Value> {
        if self.scale == scale {
            return Some(self.clone());
        }
        let (from, to) = (self.unit()?, scale_unit(scale)?);
        let of = |f: &Decimal| match self.point {
            true => from.convert(*f, to),
            false => from.convert_difference(*f, to),
        };
        let figures = self.figures.iter().map(of).collect::<Option<Vec<_>>>()?;
        Some(Value {
            figures,
            scale,
            ..self.clone()
        })
    }

    fn unit(&self) -> Option<Unit> {
        scale_unit(self.scale)
    }

    /// On the coherent SI scale of what it measures.
    pub(super) fn in_si(&self) -> Option<Value> {
        match self.scale {
            Scale::Unit(unit) => self.on(Scale::Unit(coherent(unit.dimension())?)),
            Scale::Plain | Scale::Si(_) => Some(self.clone()),
        }
    }

    /// The figures as measures of a unit, rounded to the power of ten `place` if they are finer. `None` if it measures something
    /// else.
    pub fn measures(&self, unit: Unit, place: i32) -> Option<Vec<Measure>> {
        let figures = self.exact(unit)?;
        let shown = |figure: Decimal| {
            let rounded = round_to_place(figure, place, Rounding::Nearest);
            Measure::new(Figure::computed(rounded), unit)
        };
        Some(figures.into_iter().map(shown).collect())
    }

    /// The figures in a unit, unrounded; `None` if it measures something else.
    pub fn exact(&self, unit: Unit) -> Option<Vec<Decimal>> {
        if let (Some((whole, count)), Scale::Plain) = (plain_unit(unit), self.scale) {
            let of = |f: &Decimal| whole.convert(f.checked_mul(count)?, unit);
            return self.figures.iter().map(of).collect();
        }
        let from = self.unit().map(Unit::dimension);
        if (from, unit.dimension()) == (Some(Dimension::Torque), Dimension::Energy) {
            // A force times a length: a newton metre is a joule.
            let (metre, joule) = (Unit::find("N·m")?, Unit::find("J")?);
            let figures = self.on(Scale::Unit(metre))?.figures;
            return figures.into_iter().map(|f| joule.convert(f, unit)).collect();
        }
        Some(self.on(Scale::Unit(unit))?.figures)
    }
}

/// Of a share or a slope, a unit and how many of it make one: 100 %, 1000 mm/m.
fn plain_unit(unit: Unit) -> Option<(Unit, Decimal)> {
    match unit.dimension() {
        Dimension::Ratio => Some((Unit::find("%")?, Decimal::ONE_HUNDRED)),
        Dimension::Slope => Some((Unit::find("mm/m")?, Decimal::ONE_THOUSAND)),
        _ => None,
    }
}

fn scale_unit(scale: Scale) -> Option<Unit> {
    match scale {
        Scale::Unit(unit) => Some(unit),
        Scale::Plain | Scale::Si(_) => None,
    }
}
