//! How warm a part must be for a press fit.

use super::parse::Warmed;
use super::value::{Scale, Value};
use crate::quantity::{Measure, Rounding, Unit, Written};
use crate::thermal::assembly_temperature;
use rust_decimal::Decimal;
use uom::si::f64::{Length, ThermodynamicTemperature};

/// The temperature at which a part of a size has grown by so much, from a start, with the usual coefficient of its material: in the
/// unit of the start. Whoever shows it rounds up, because a part that is too cold sticks halfway. `None` for figures of other kinds.
pub fn temperature_for(size: &Measure, growth: &Measure, material: Warmed, start: &Measure) -> Option<Measure> {
    let length = |m: &Measure| m.quantity::<Length>();
    let start_at = start.quantity::<ThermodynamicTemperature>()?;
    let none = Length::default();
    let warm = assembly_temperature(length(size)?, length(growth)?, none, material.0.expansion(), start_at)?;
    Some(
        Written::computed(warm, start.unit(), -9, Rounding::Nearest)?
            .measure()
            .clone(),
    )
}

/// The same for every figure of a list.
pub(super) fn temperatures(size: &Value, growth: &Value, material: Warmed, start: &Value) -> Option<Value> {
    let Scale::Unit(unit) = start.scale else { return None };
    let columns = [size, growth, start].into_iter().max_by_key(|v| v.figures.len())?;
    let mut figures: Vec<Decimal> = Vec::new();
    for n in 0..columns.figures.len() {
        let at = |value: &Value| measure(value, n);
        figures.push(temperature_for(&at(size)?, &at(growth)?, material, &at(start)?)?.value());
    }
    Some(Value {
        figures,
        columns: columns.columns,
        scale: Scale::Unit(unit),
        point: true,
    })
}

/// The figure of that number, or the only one.
fn measure(value: &Value, n: usize) -> Option<Measure> {
    let unit: Unit = match value.scale {
        Scale::Unit(unit) => unit,
        Scale::Plain | Scale::Si(_) => return None,
    };
    let figure = value.figures.get(n).or_else(|| value.figures.first())?;
    Some(Measure::new(crate::quantity::Figure::computed(*figure), unit))
}
