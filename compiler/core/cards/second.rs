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
        Dimension::TemperatureDifference => "K",
        Dimension::Mass => "kg",
        Dimension::Volume => "mL",
        Dimension::Force => "N",
        Dimension::Speed => "m/s",
        Dimension::Area => "mm²",
        Dimension::Flow => "L/min",
        Dimension::Stiffness => "N/mm",
        Dimension::Energy => "J",
        // Written in one unit everywhere, or in none that a shop would want beside it.
        Dimension::Angle
        | Dimension::Time
        | Dimension::RotationalSpeed
        | Dimension::Voltage
        | Dimension::Resistance
        | Dimension::Current
        | Dimension::Power
        | Dimension::Frequency
        | Dimension::Capacitance
        | Dimension::KinematicViscosity
        | Dimension::DynamicViscosity
        | Dimension::Slope
        | Dimension::LinearDensity
        | Dimension::RockwellC
        | Dimension::RockwellB
        | Dimension::Brinell
        | Dimension::Vickers
        | Dimension::ShoreA
        | Dimension::ShoreD
        | Dimension::Ratio => return None,
    };
    Unit::find(symbol)
}

/// The unit a figure in `unit` is also printed in: the house's unit, or the metric one if the figure is in the house's own system
/// already. `None` if the house asks for no second unit of that dimension.
pub fn unit(set: &Set, unit: Unit) -> Option<Unit> {
    let house = match set.units.get(&unit.dimension()) {
        Some(house) => *house,
        // A house that also reads degrees Fahrenheit reads differences in them.
        None if unit.dimension() == Dimension::TemperatureDifference => {
            let degrees = set.units.get(&Dimension::Temperature)?;
            Unit::find(if degrees.is_inch_pound() { "Δ°F" } else { "K" })?
        }
        None => return None,
    };
    let second = if unit.is_inch_pound() && house.is_inch_pound() {
        metric(unit.dimension())?
    } else {
        house
    };
    (second != unit).then_some(second)
}
