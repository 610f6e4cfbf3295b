//! Cold: how much a part shrinks on the way to liquid nitrogen. A coefficient near room temperature overstates it, since metals
//! expand less the colder they are; between the coefficient at room temperature and the tabled contraction to 77 K the curve is taken
//! for a parabola. An estimate.

use std::sync::OnceLock;

use serde::Deserialize;
use uom::si::temperature_coefficient::per_kelvin;

use super::Material;
use crate::table;

const COOLING: &str = include_str!("../../tables/cooling.csv");

/// What parts are cooled with: the name and its temperature in degrees Celsius (1 atm).
pub const COOLANTS: [(&str, f64); 2] = [("dry ice", -78.5), ("liquid nitrogen", -195.8)];

/// From 293 K to 77 K.
const SPAN: f64 = 216.0;

#[derive(Deserialize)]
struct Row {
    material: String,
    /// Millimetres a metre from 293 K to 77 K.
    contraction_to_77_k: f64,
    source: String,
}

fn table() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("cooling.csv", COOLING))
}

/// How a material shrinks.
#[derive(Clone, Copy)]
pub struct Contraction {
    coefficient: f64,
    curve: f64,
    /// Where the figure at 77 K comes from.
    pub source: &'static str,
}

impl Contraction {
    /// Of a material; `None` if its contraction isn't tabled.
    pub fn of(material: Material) -> Option<Contraction> {
        let row = table().iter().find(|row| row.material == material.name())?;
        let coefficient = material.expansion().get::<per_kelvin>();
        let curve = (coefficient * SPAN - row.contraction_to_77_k * 1e-3) / (SPAN * SPAN);
        Some(Contraction {
            coefficient,
            curve,
            source: &row.source,
        })
    }

    /// The share by which a size shrinks when it is so many kelvin colder than room temperature (20 °C), up to 216 K.
    pub fn share(&self, colder: f64) -> f64 {
        self.coefficient * colder - self.curve * colder * colder
    }

    /// How many kelvin below room temperature a size has shrunk by a share; `None` if it never does down to 77 K.
    pub fn colder_for(&self, share: f64) -> Option<f64> {
        if share > self.share(SPAN) {
            return None;
        }
        if self.curve.abs() < 1e-15 {
            return Some(share / self.coefficient);
        }
        let root = self.coefficient * self.coefficient - 4.0 * self.curve * share;
        (root >= 0.0).then(|| (self.coefficient - root.sqrt()) / (2.0 * self.curve))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_sourced_and_shrinks_ever_more() {
        table::assert_sourced("cooling.csv", COOLING);
        for row in table() {
            let material = Material::parse(&row.material).unwrap();
            let found = Contraction::of(material).unwrap();
            assert!((found.share(SPAN) - row.contraction_to_77_k * 1e-3).abs() < 1e-9);
            assert!((1..21).all(|n| found.share(f64::from(n) * 10.0) > found.share(f64::from(n - 1) * 10.0)));
            let there = found.colder_for(found.share(98.5)).unwrap();
            assert!((there - 98.5).abs() < 1e-6, "{}: {there}", row.material);
        }
        let steel = Contraction::of(Material::parse("steel").unwrap()).unwrap();
        assert_eq!(steel.colder_for(0.003), None);
    }
}
