//! What classes promise beside strength: elongation and hardness. Hardness stays in its own scale.

use std::sync::OnceLock;

use serde::Deserialize;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::PropertyClass;
use crate::table;

const EXTRAS: &str = include_str!("../../tables/class-extras.csv");

/// A row of `compiler/tables/class-extras.csv`: sizes above the first up to and including the second, in millimetres.
#[derive(Debug, Deserialize)]
pub struct Extras {
    class: String,
    above: f64,
    up_to: f64,
    /// Per cent after fracture of a machined test piece, least.
    pub elongation: Option<f64>,
    /// After fracture of a whole screw, least, in diameters.
    pub whole_elongation: Option<f64>,
    /// Vickers.
    pub hv_low: Option<u32>,
    /// Vickers.
    pub hv_high: Option<u32>,
    /// Rockwell C.
    pub hrc_low: Option<u32>,
    /// Rockwell C.
    pub hrc_high: Option<u32>,
    /// Where the figures come from.
    pub source: String,
}

fn table() -> &'static [Extras] {
    static ROWS: OnceLock<Vec<Extras>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("class-extras.csv", EXTRAS))
}

/// What a class promises at a size; `None` if it isn't tabled.
pub fn extras(class: PropertyClass, size: Length) -> Option<&'static Extras> {
    let millimetres = size.get::<millimeter>();
    table()
        .iter()
        .find(|row| row.class == class.name() && millimetres > row.above + 1e-6 && millimetres <= row.up_to + 1e-6)
}

/// The tensile strength in MPa that a class is named for: the number before its point or behind its hyphen (ISO 898-1, ISO 3506-1).
pub fn nominal_strength(class: PropertyClass) -> Option<u32> {
    let name = class.name();
    match class.standard() {
        "ISO 898-1" => Some(100 * name.split_once('.')?.0.parse::<u32>().ok()?),
        "ISO 3506-1" => Some(10 * name.split_once('-')?.1.parse::<u32>().ok()?),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_sourced_and_of_a_class() {
        table::assert_sourced("class-extras.csv", EXTRAS);
        for row in table() {
            let class = PropertyClass::find(&row.class).unwrap();
            assert!(
                extras(class, Length::new::<millimeter>(row.up_to)).is_some(),
                "{}",
                row.class
            );
        }
        assert_eq!(nominal_strength(PropertyClass::find("010.9").unwrap()), Some(1000));
    }
}
