//! Property classes of nuts: the stress that a test mandrel puts on their threads without stripping them.

use std::sync::OnceLock;

use serde::Deserialize;
use uom::si::f64::{Force, Length, Pressure};
use uom::si::length::millimeter;
use uom::si::pressure::megapascal;

use super::{Thread, ThreadSystem};
use crate::table;

const NUTS: &str = include_str!("../../tables/nut-classes.csv");

/// A row of `compiler/tables/nut-classes.csv`: a class and style of nut over a range of sizes (above the first, up to and including the
/// second).
#[derive(Debug, Deserialize)]
pub struct NutStrength {
    /// `04`, `8`, `10`.
    pub class: String,
    /// `thin`, `1` (regular) or `2` (high).
    pub style: String,
    /// `coarse` or `fine`.
    pub pitch: String,
    /// Millimetres.
    pub above: f64,
    /// Millimetres.
    pub up_to: f64,
    /// MPa.
    proof_stress: f64,
    /// Where the figure comes from.
    pub source: String,
}

fn table() -> &'static [NutStrength] {
    static ROWS: OnceLock<Vec<NutStrength>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("nut-classes.csv", NUTS))
}

impl NutStrength {
    /// Stress under proof load, Sp.
    pub fn proof_stress(&self) -> Pressure {
        Pressure::new::<megapascal>(self.proof_stress)
    }

    /// The proof load on a thread: stress times the nominal stress area of the mandrel.
    pub fn proof_load(&self, thread: Thread) -> Force {
        self.proof_stress() * thread.nominal_stress_area()
    }

    /// The style in words.
    pub fn style_words(&self) -> &'static str {
        match self.style.as_str() {
            "thin" => "thin nut (style 0)",
            "2" => "high nut (style 2)",
            _ => "regular nut (style 1)",
        }
    }

    fn holds(&self, diameter: Length) -> bool {
        // A nanometre either way: diameters come through binary floats.
        let millimetres = diameter.get::<millimeter>();
        millimetres > self.above + 1e-6 && millimetres <= self.up_to + 1e-6
    }
}

/// The classes of nuts, each once, in table order.
pub fn nut_classes() -> Vec<&'static str> {
    let mut names: Vec<&str> = table().iter().map(|row| row.class.as_str()).collect();
    names.dedup();
    names.sort_by_key(|name| (!name.starts_with('0'), name.parse::<u32>().unwrap_or(0)));
    names.dedup();
    names
}

/// Every row of a class.
pub fn nut_rows(class: &str) -> impl Iterator<Item = &'static NutStrength> {
    table().iter().filter(move |row| row.class == class)
}

/// The rows of a class that a metric thread falls under: one for each style of nut.
pub fn nuts_for(class: &str, thread: Thread) -> Vec<&'static NutStrength> {
    if thread.system() != ThreadSystem::Metric {
        return Vec::new();
    }
    let pitch = if thread.series() == "coarse" { "coarse" } else { "fine" };
    nut_rows(class)
        .filter(|row| row.pitch == pitch && row.holds(thread.diameter()))
        .collect()
}

/// The class of nut that goes with a bolt: the first number of the bolt's class (ISO 898-2).
pub fn nut_of_bolt(bolt: &str) -> Option<&'static str> {
    let (first, _) = bolt.trim_start_matches('0').split_once('.')?;
    nut_classes().into_iter().find(|class| *class == first)
}

#[cfg(test)]
mod tests {
    use uom::si::force::newton;

    use super::*;
    use crate::fastener::Fastener;

    #[test]
    fn every_row_is_sourced_and_loads_are_the_printed_ones() {
        table::assert_sourced("nut-classes.csv", NUTS);
        assert_eq!(nut_classes(), ["04", "05", "4", "5", "6", "8", "9", "10", "12"]);
        // DIN EN 20898-2, style 1.
        for (thread, class, load) in [
            ("M8", "8", 31_800.0),
            ("M10", "10", 60_300.0),
            ("M12", "12", 98_600.0),
            ("M16", "8", 138_200.0),
            ("M24", "10", 374_200.0),
            ("M5", "5", 8_250.0),
        ] {
            let thread = Fastener::parse(thread).unwrap().thread();
            let rows = nuts_for(class, thread);
            let row = rows.iter().find(|row| row.style == "1").unwrap();
            let found = row.proof_load(thread).get::<newton>();
            assert!((found / load - 1.0).abs() < 0.003, "{thread} {class}: {found}");
        }
        assert_eq!(nut_of_bolt("10.9"), Some("10"));
    }
}
