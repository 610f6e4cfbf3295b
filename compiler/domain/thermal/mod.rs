//! Heat: how much a part grows, and how warm it must be for a fit. Mean coefficients of linear expansion near 20 to 100 °C are in
//! `compiler/tables/expansion.csv`; growth = α d ΔT is the definition.

pub mod cooling;

use std::fmt;
use std::sync::OnceLock;

use serde::Deserialize;
use uom::si::f64::{Length, TemperatureCoefficient, TemperatureInterval, ThermodynamicTemperature};
use uom::si::length::meter;
use uom::si::temperature_coefficient::per_kelvin;
use uom::si::temperature_interval::kelvin;

use super::named;
use super::quantity::ValueError;
use super::table;

const EXPANSION: &str = include_str!("../../tables/expansion.csv");

#[derive(Deserialize)]
struct Row {
    material: String,
    aliases: String,
    low: f64,
    usual: f64,
    high: f64,
    source: String,
}

fn table() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("expansion.csv", EXPANSION))
}

/// A material and how it grows: a row of `compiler/tables/expansion.csv`.
#[derive(Clone, Copy)]
pub struct Material(&'static Row);

impl Material {
    /// Every material, in table order.
    pub fn all() -> impl Iterator<Item = Material> {
        table().iter().map(Material)
    }

    /// Reads a material's name or one of its other names, in any case.
    ///
    /// # Errors
    /// If the table doesn't hold it.
    pub fn parse(text: &str) -> Result<Material, ValueError> {
        named::find_row("material", text, table(), |row| (&row.material, &row.aliases)).map(Material)
    }

    /// The name in the table.
    pub fn name(self) -> &'static str {
        &self.0.material
    }

    /// The usual coefficient.
    pub fn expansion(self) -> TemperatureCoefficient {
        TemperatureCoefficient::new::<per_kelvin>(self.0.usual * 1e-6)
    }

    /// The range handbooks give.
    pub fn expansion_range(self) -> (TemperatureCoefficient, TemperatureCoefficient) {
        let coefficient = |value: f64| TemperatureCoefficient::new::<per_kelvin>(value * 1e-6);
        (coefficient(self.0.low), coefficient(self.0.high))
    }

    /// Where the figures come from.
    pub fn source(self) -> &'static str {
        &self.0.source
    }
}

impl fmt::Debug for Material {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Material({})", self.name())
    }
}

/// How much a size grows when it gets warmer by `rise`.
pub fn growth(size: Length, expansion: TemperatureCoefficient, rise: TemperatureInterval) -> Length {
    size * (expansion.get::<per_kelvin>() * rise.get::<kelvin>())
}

/// How much warmer a part must get for a size to grow by `growth`. `None` if the size or the coefficient is nought.
pub fn rise_for(growth: Length, size: Length, expansion: TemperatureCoefficient) -> Option<TemperatureInterval> {
    let grows = size.get::<meter>() * expansion.get::<per_kelvin>();
    (grows != 0.0).then(|| TemperatureInterval::new::<kelvin>(growth.get::<meter>() / grows))
}

/// How warm a part must be for a fit: `interference` overcome and `play` to put it together with, from a start temperature.
/// `None` as in [`rise_for`].
pub fn assembly_temperature(
    size: Length,
    interference: Length,
    play: Length,
    expansion: TemperatureCoefficient,
    start: ThermodynamicTemperature,
) -> Option<ThermodynamicTemperature> {
    Some(start + rise_for(interference + play, size, expansion)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_material_is_sourced_and_in_order() {
        table::assert_sourced("expansion.csv", EXPANSION);
        for material in Material::all() {
            let (low, high) = material.expansion_range();
            assert!(
                low <= material.expansion() && material.expansion() <= high,
                "{}",
                material.name()
            );
        }
        assert_eq!(Material::parse("aluminum").map(Material::name), Ok("aluminium alloy"));
    }

    #[test]
    fn growth_and_rise_are_each_others_reverse() {
        let size = Length::new::<meter>(0.08);
        let rise = TemperatureInterval::new::<kelvin>(100.0);
        let expansion = Material::parse("aluminium").unwrap().expansion();
        let grown = growth(size, expansion, rise);
        assert!((grown.get::<meter>() - 0.000_184).abs() < 1e-12);
        assert!((rise_for(grown, size, expansion).unwrap().get::<kelvin>() - 100.0).abs() < 1e-9);
        assert!(rise_for(grown, Length::new::<meter>(0.0), expansion).is_none());
    }
}
