//! Tables that only these topics read: torques by class and friction, prevailing torques, O-rings, rolling bearings.

use crate::domain::table;
use serde::Deserialize;
use std::sync::OnceLock;

/// A published torque of a thread and class at a coefficient of friction (threads and face alike).
#[derive(Debug, Deserialize)]
pub struct ClassTorque {
    pub thread: String,
    pub class: String,
    pub friction: f64,
    pub torque: f64,
    pub unit: String,
    pub source: String,
}

/// What a self-locking nut may take to turn on, and must still take to turn off.
#[derive(Debug, Deserialize)]
pub struct Prevailing {
    pub thread: String,
    pub first_on_most: f64,
    pub first_off_least: f64,
    pub fifth_off_least: f64,
    pub unit: String,
    pub source: String,
}

/// An O-ring by its size code; inches.
#[derive(Debug, Deserialize)]
pub struct Ring {
    pub code: String,
    pub inside: f64,
    pub inside_tolerance: f64,
    pub section: f64,
    pub section_tolerance: f64,
    pub source: String,
}

/// Radial internal clearance of a bearing by bore (mm, above the first up to and including the second) and group; micrometres.
#[derive(Debug, Deserialize)]
pub struct Clearance {
    pub kind: String,
    pub group: String,
    pub above: f64,
    pub up_to: f64,
    pub least: f64,
    pub most: f64,
    pub source: String,
}

/// Tolerance of a bearing's bore or outside diameter by size (mm); micrometres.
#[derive(Debug, Deserialize)]
pub struct RingTolerance {
    pub what: String,
    pub above: f64,
    pub up_to: f64,
    pub lower: f64,
    pub upper: f64,
    pub source: String,
}

/// A published torque of a thread, its class if the table gives one, for a condition.
#[derive(Debug, Deserialize)]
pub struct GeneralTorque {
    pub thread: String,
    pub class: String,
    pub condition: String,
    pub low: f64,
    pub high: f64,
    pub unit: String,
    pub source: String,
}

/// The least drag at which a self-locking nut may be used again.
#[derive(Debug, Deserialize)]
pub struct LeastDrag {
    pub thread: String,
    pub least: f64,
    pub unit: String,
    pub source: String,
}

/// Force across the middle of a span that deflects it by 1/64 (lbf), by section, smallest pulley (in) and its speed (rpm).
#[derive(Debug, Deserialize)]
pub struct BeltForce {
    pub section: String,
    pub pulley_low: f64,
    pub pulley_high: f64,
    pub speed_low: f64,
    pub speed_high: f64,
    pub used: f64,
    pub new: f64,
    pub source: String,
}

/// A friction class of VDI 2230 by finish; class E has no upper end.
#[derive(Debug, Deserialize)]
pub struct FrictionClass {
    pub finish: String,
    pub class: String,
    pub low: f64,
    pub high: Option<f64>,
    pub source: String,
}

/// A published range of the nut factor by finish.
#[derive(Debug, Deserialize)]
pub struct NutFactorRange {
    pub finish: String,
    pub low: f64,
    pub high: f64,
    pub source: String,
}

/// A size of torque wrench and the torques that it is taken for.
#[derive(Debug, Deserialize)]
pub struct WrenchSize {
    pub low: f64,
    pub high: f64,
    pub unit: String,
    pub wrench: String,
    pub source: String,
}

macro_rules! tables {
    ($($name:ident: $row:ident, $file:literal;)*) => {
        $(pub fn $name() -> &'static [$row] {
            static ROWS: OnceLock<Vec<$row>> = OnceLock::new();
            ROWS.get_or_init(|| table::rows($file, include_str!(concat!("../../tables/", $file))))
        })*

        #[cfg(test)]
        mod tests {
            #[test]
            fn every_row_is_sourced_and_read() {
                $(
                    let text = include_str!(concat!("../../tables/", $file));
                    assert_eq!(super::$name().len(), text.lines().count() - 1);
                    assert!(super::$name().iter().all(|row| !row.source.trim().is_empty()), $file);
                )*
            }

            #[test]
            fn ranges_stand_the_right_way_round() {
                assert!(super::rings().iter().all(|r| r.inside > 0.0 && r.inside_tolerance < r.section));
                assert!(super::clearances().iter().all(|r| r.least < r.most && r.above < r.up_to));
                assert!(super::prevailing().iter().all(|r| r.fifth_off_least < r.first_off_least && r.first_off_least < r.first_on_most));
            }
        }
    };
}

tables! {
    class_torques: ClassTorque, "class-torques.csv";
    prevailing: Prevailing, "prevailing-torques.csv";
    rings: Ring, "o-rings.csv";
    clearances: Clearance, "bearing-clearances.csv";
    ring_tolerances: RingTolerance, "bearing-tolerances.csv";
    general_torques: GeneralTorque, "general-torques.csv";
    least_drags: LeastDrag, "least-drags.csv";
    belt_forces: BeltForce, "belt-forces.csv";
    friction_classes: FrictionClass, "friction-classes.csv";
    nut_factor_ranges: NutFactorRange, "nut-factor-ranges.csv";
    wrench_sizes: WrenchSize, "wrench-sizes.csv";
}
