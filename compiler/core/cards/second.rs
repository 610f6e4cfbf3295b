//! The second unit: what a figure is printed in after the author's own.

use crate::domain::quantity::{Dimension, Unit};
use crate::model::Set;

/// The metric unit of a shop for a dimension.
fn metric(dimension: Dimension) -> Option<Unit> {
    let symbol = match dimension {
        Dimension::Torque => "N·m",
        Dimension::Length => "mm",
        Dimension::Pressure => "bar",
        Dimension::Temperature => "°C",
        Dimension::Mass => "kg",
        Dimension::Volume => "mL",
        Dimension::Force => "N",
        Dimension::Speed => "m/s",
        Dimension::Area => "mm²",
        _ => return None,
    };
    Unit::find(symbol)
}

/// The unit a figure in `unit` is also printed in: the house's unit, or the metric one if the figure is in the house's own system
/// already. `None` if the house asks for no second unit of that dimension.
pub fn unit(set: &Set, unit: Unit) -> Option<Unit> {
    let house = *set.units.get(&unit.dimension())?;
    let second = if unit.is_inch_pound() && house.is_inch_pound() {
        metric(unit.dimension())?
    } else {
        house
    };
    (second != unit).then_some(second)
}
