//! What engaged threads hold before they strip. An estimate: usual tolerances, low-end strengths, no bending of the nut's wall.

use std::fmt;
use std::sync::OnceLock;

use serde::Deserialize;
use uom::si::f64::{Area, Force, Length, Pressure};
use uom::si::pressure::megapascal;

use super::{Fastener, Thread};
use crate::named;
use crate::quantity::ValueError;
use crate::table;

const MATERIALS: &str = include_str!("../../tables/tapped-materials.csv");

/// Shear strength of bolt steel as a share of its tensile strength: 0.6 (common practice, VDI 2230 uses 0.6 to 0.65; from memory).
const BOLT_SHEAR_RATIO: f64 = 0.6;

/// What the tolerances of usual threads leave of the basic profile's shear area. Areas printed for classes 2A/2B (unified threads
/// No. 10 to 3/4 in, a table after ASME B1.1, as reprinted) are 0.74 to 0.83 of the basic ones, small threads the least.
const TOLERANCE_SHARE: f64 = 0.78;

#[derive(Deserialize)]
struct Row {
    name: String,
    aliases: String,
    tensile: f64,
    shear: f64,
    source: String,
}

fn table() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("tapped-materials.csv", MATERIALS))
}

/// A material a hole is tapped in: a row of `compiler/tables/tapped-materials.csv`, with figures from the low end of what is usual.
#[derive(Clone, Copy)]
pub struct TappedMaterial(&'static Row);

impl TappedMaterial {
    /// Every material, in table order.
    pub fn all() -> impl Iterator<Item = TappedMaterial> {
        table().iter().map(TappedMaterial)
    }

    /// Reads a material's name or one of its other names, in any case.
    ///
    /// # Errors
    /// If the table doesn't hold it.
    pub fn parse(text: &str) -> Result<TappedMaterial, ValueError> {
        named::find_row("tapped material", text, table(), |row| (&row.name, &row.aliases)).map(TappedMaterial)
    }

    /// The name in the table.
    pub fn name(self) -> &'static str {
        &self.0.name
    }

    /// Least usual tensile strength.
    pub fn tensile_strength(self) -> Pressure {
        Pressure::new::<megapascal>(self.0.tensile)
    }

    /// Least usual shear strength.
    pub fn shear_strength(self) -> Pressure {
        Pressure::new::<megapascal>(self.0.shear)
    }

    /// Where the figures come from.
    pub fn source(self) -> &'static str {
        &self.0.source
    }
}

impl PartialEq for TappedMaterial {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.0, other.0)
    }
}

impl Eq for TappedMaterial {}

impl fmt::Debug for TappedMaterial {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "TappedMaterial({})", self.name())
    }
}

impl fmt::Display for TappedMaterial {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.name())
    }
}

/// Shear area of the internal (tapped) thread over an engaged length: π d L × 7/8, the width of the basic profile at the bolt's
/// major diameter (FED-STD-H28 form with basic diameters; from memory), less a fifth for tolerances.
pub fn internal_shear_area(thread: Thread, engagement: Length) -> Area {
    std::f64::consts::PI * thread.diameter() * engagement * 0.875 * TOLERANCE_SHARE
}

/// Shear area of the external (bolt) thread over an engaged length: π D1 L × 3/4, the width of the basic profile at the nut's minor
/// diameter (FED-STD-H28 form with basic diameters; from memory), less a fifth for tolerances.
pub fn external_shear_area(thread: Thread, engagement: Length) -> Area {
    std::f64::consts::PI * thread.internal_minor_diameter() * engagement * 0.75 * TOLERANCE_SHARE
}

/// The engaged length that holds: the first thread at the tapped end is a lead-in, so 0.8 P less than measured (VDI 2230 part 1,
/// 5.5.5; from memory), never below zero.
pub fn effective_engagement(thread: Thread, engagement: Length) -> Length {
    (engagement - 0.8 * thread.pitch()).max(Length::new::<uom::si::length::meter>(0.0))
}

/// Load at which the tapped thread strips out.
pub fn internal_strip_load(thread: Thread, engagement: Length, material: TappedMaterial) -> Force {
    internal_shear_area(thread, effective_engagement(thread, engagement)) * material.shear_strength()
}

/// Load at which the bolt's thread strips off; `None` without a class.
pub fn external_strip_load(fastener: Fastener, engagement: Length) -> Option<Force> {
    let thread = fastener.thread();
    let strength = fastener.strength()?;
    Some(external_shear_area(thread, effective_engagement(thread, engagement)) * (strength.tensile * BOLT_SHEAR_RATIO))
}

/// The lesser of both loads: what the joint's threads hold.
pub fn strip_load(fastener: Fastener, engagement: Length, material: TappedMaterial) -> Force {
    let internal = internal_strip_load(fastener.thread(), engagement, material);
    external_strip_load(fastener, engagement).map_or(internal, |external| internal.min(external))
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::area::square_inch;

    use crate::quantity::ValueErrorKind;

    #[test]
    fn recommended_engagements_hold_the_bolt() {
        // Least lengths recommended for threads tapped in S235 (after VDI 2230, as reprinted): one diameter for 8.8, a quarter more
        // for 10.9. At these the threads should hold about the bolt's yield load.
        let steel = TappedMaterial::parse("steel").unwrap();
        for (name, diameters) in [("M8 8.8", 1.0), ("M12 8.8", 1.0), ("M8 10.9", 1.25), ("M12 10.9", 1.25)] {
            let fastener = Fastener::parse(name).unwrap();
            let strip = strip_load(fastener, diameters * fastener.thread().diameter(), steel);
            let share = (strip / fastener.yield_load().unwrap()).get::<uom::si::ratio::ratio>();
            assert!((0.9..1.2).contains(&share), "{name}: {share}");
        }
    }

    #[test]
    fn shear_areas_are_near_the_printed_ones() {
        // Bolt and nut thread, engaged by one diameter, classes 2A/2B, square inches.
        let printed = [
            ("10-32", 0.052, 0.074),
            ("1/4-20", 0.092, 0.135),
            ("3/8-16", 0.216, 0.310),
            ("1/2-13", 0.389, 0.562),
            ("3/4-10", 0.910, 1.29),
        ];
        for (name, bolt, nut) in printed {
            let thread = Fastener::parse(name).unwrap().thread();
            let external = external_shear_area(thread, thread.diameter()).get::<square_inch>();
            let internal = internal_shear_area(thread, thread.diameter()).get::<square_inch>();
            assert!(
                (external / bolt - 1.0).abs() < 0.08,
                "{name}: bolt {external}, printed {bolt}"
            );
            assert!(
                (internal / nut - 1.0).abs() < 0.08,
                "{name}: nut {internal}, printed {nut}"
            );
        }
    }

    #[test]
    fn every_material_is_sourced() {
        table::assert_sourced("tapped-materials.csv", MATERIALS);
        for material in TappedMaterial::all() {
            assert_eq!(TappedMaterial::parse(material.name()), Ok(material));
            assert!(material.shear_strength() <= material.tensile_strength());
        }
        let error = TappedMaterial::parse("cast aluminum alloi").unwrap_err();
        assert!(matches!(error.kind, ValueErrorKind::UnknownName { .. }));
        assert_eq!(
            TappedMaterial::parse("Cast-Aluminium").map(TappedMaterial::name),
            Ok("cast aluminium")
        );
    }
}
