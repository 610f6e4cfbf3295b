//! The second unit: what a figure is printed in after the author's own.

use crate::domain::quantity::{Dimension, Unit};
use crate::model::Set;

/// Inch-pound units, by how their symbols begin or end. A figure in one of these is doubled by an SI unit and the other way round.
const INCH_POUND: [&str; 17] = [
    "lbf", "ozf", "in", "ft", "thou", "µin", "psi", "ksi", "°F", "lb", "oz", "US ", "imp ", "kip", "mph", "hp", "in³",
];

fn inch_pound(unit: Unit) -> bool {
    let symbol = unit.symbol();
    INCH_POUND
        .iter()
        .any(|word| symbol == *word || symbol.starts_with(word) && !symbol.starts_with("inH"))
}

/// The SI unit of a shop for a dimension, where it is not the house's own.
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
    let second = if inch_pound(unit) && inch_pound(house) {
        metric(unit.dimension())?
    } else {
        house
    };
    (second != unit).then_some(second)
}
