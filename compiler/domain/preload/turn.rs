//! Turning by an angle: how far a nut advances, what of it stretches the bolt, and what that adds to the preload.

use uom::si::angle::revolution;
use uom::si::f64::{Angle, Area, Force, Length, Pressure};
use uom::si::force::newton;
use uom::si::pressure::gigapascal;

use super::assess::{Joint, PreloadRange, assess};
use crate::fastener::{Fastener, Thread};
use crate::tightening::Stage;

/// Nominal advance of a nut on a pitch: P × angle/360°. It is bolt stretch *plus* closing of the joint, not stretch alone.
pub fn advance(pitch: Length, angle: Angle) -> Length {
    pitch * angle.get::<revolution>()
}

/// Young's modulus of bolt steel, 205 GPa (textbook).
pub fn steel_modulus() -> Pressure {
    Pressure::new::<gigapascal>(205.0)
}

/// Elastic stretch of a length of bolt under a load: F L/(A E), Hooke.
pub fn stretch(load: Force, length: Length, area: Area, modulus: Pressure) -> Length {
    load * length / (area * modulus)
}

/// What a further angle adds to a preload; estimated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnEstimate {
    /// How far the nut advances.
    pub advance: Length,
    /// The share of the advance that stretches the bolt if the joint is as soft as is usual, and as stiff.
    pub stretch_share: (f64, f64),
    /// The preload added by either share, while the bolt stays elastic.
    pub added: (Force, Force),
}

/// Clamped parts are usually three to six times as stiff as the bolt, so 75 % to 86 % of the advance goes into the bolt (common
/// practice, in line with VDI 2230 examples; from memory). Threads seating and gaskets take more.
const STIFFNESS_RATIO: (f64, f64) = (3.0, 6.0);

/// Estimates what an angle adds over a grip (the clamped length), with the stress area taken for the whole length.
pub fn added_preload(thread: Thread, angle: Angle, grip: Length) -> TurnEstimate {
    let advance = advance(thread.pitch(), angle);
    let share = |ratio: f64| ratio / (1.0 + ratio);
    let bolt = |share: f64| thread.stress_area() * steel_modulus() * (share * advance) / grip;
    let (soft, stiff) = (share(STIFFNESS_RATIO.0), share(STIFFNESS_RATIO.1));
    TurnEstimate {
        advance,
        stretch_share: (soft, stiff),
        added: (bolt(soft), bolt(stiff)),
    }
}

/// The grip to assume when nobody gave it: five diameters, about that of a cylinder-head or main-bearing bolt.
/// Common practice, no source.
pub fn usual_grip(thread: Thread) -> Length {
    5.0 * thread.diameter()
}

/// Whether a snug preload and a further angle may take the bolt to its yield load, by the stiffer estimate. `None` without a class.
/// A bolt tightened past yield is used once.
pub fn may_yield(fastener: Fastener, snug: Force, angle: Angle, grip: Length) -> Option<bool> {
    let yields = fastener.yield_load()?;
    Some(snug + added_preload(fastener.thread(), angle, grip).added.1 >= yields)
}

/// What a sequence of stages with further angles comes to; estimated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SequenceEstimate {
    /// The preload of the last torque before the angles; `None` if the sequence starts with an angle.
    pub snug: Option<PreloadRange>,
    /// All further angles together.
    pub angle: Angle,
    /// What they add.
    pub turn: TurnEstimate,
    /// Whether the bolt may yield; `None` without a class.
    pub may_yield: Option<bool>,
}

/// Estimates a sequence of stages over a grip ([`usual_grip`] if nobody gave it). `None` if no stage is an angle after the last
/// torque: then there is nothing to add.
pub fn sequence(joint: &Joint, stages: &[Stage], grip: Option<Length>) -> Option<SequenceEstimate> {
    let thread = joint.fastener.thread();
    let start = stages.iter().rposition(|stage| stage.torque().is_some());
    let angles = &stages[start.map_or(0, |last| last + 1)..];
    let angle = angles
        .iter()
        .filter_map(Stage::turn)
        .map(|turn| turn.angle().quantity())
        .reduce(|sum, angle| sum + angle)?;
    let snug = start
        .and_then(|last| stages[last].torque())
        .map(|torque| assess(joint, torque).preload);
    let grip = grip.unwrap_or_else(|| usual_grip(thread));
    let from = snug.map_or(Force::new::<newton>(0.0), |snug| snug.usual);
    Some(SequenceEstimate {
        snug,
        angle,
        turn: added_preload(thread, angle, grip),
        may_yield: may_yield(joint.fastener, from, angle, grip),
    })
}

#[cfg(test)]
mod tests {
    use uom::si::angle::degree;
    use uom::si::force::kilonewton;
    use uom::si::length::millimeter;

    use super::*;
    use crate::lubrication::Lubrication;

    #[test]
    fn a_quarter_turn_on_a_short_bolt_yields_it() {
        let fastener = Fastener::parse("M10 10.9").unwrap();
        let quarter = Angle::new::<degree>(90.0);
        let snug = Force::new::<kilonewton>(15.0);
        assert_eq!(
            may_yield(fastener, snug, quarter, Length::new::<millimeter>(50.0)),
            Some(true)
        );
        assert_eq!(
            may_yield(
                fastener,
                snug,
                Angle::new::<degree>(30.0),
                Length::new::<millimeter>(150.0)
            ),
            Some(false)
        );
        assert_eq!(
            may_yield(
                Fastener::parse("M10").unwrap(),
                snug,
                quarter,
                usual_grip(fastener.thread())
            ),
            None
        );
        let estimate = added_preload(fastener.thread(), quarter, Length::new::<millimeter>(50.0));
        assert!(estimate.added.0 < estimate.added.1);
        assert!((estimate.advance.get::<millimeter>() - 0.375).abs() < 1e-12);
    }

    #[test]
    fn head_bolts_by_torque_and_angle() {
        let joint = Joint {
            fastener: Fastener::parse("M10 10.9").unwrap(),
            lubrication: Lubrication::parse("oiled").unwrap(),
            engagement: None,
            into: None,
        };
        let stages = |texts: &[&str]| -> Vec<Stage> { texts.iter().map(|text| Stage::parse(text).unwrap()).collect() };
        let found = sequence(&joint, &stages(&["20 N·m", "40 N·m", "+90°", "+90°"]), None).unwrap();
        assert!((found.angle.get::<degree>() - 180.0).abs() < 1e-9);
        assert_eq!(found.may_yield, Some(true));
        // 40 / (0.17 · 10 mm) = 23.5 kN
        assert!((found.snug.unwrap().usual.get::<kilonewton>() - 23.5).abs() < 0.1);
        assert_eq!(sequence(&joint, &stages(&["20 N·m", "40 N·m"]), None), None);
        assert_eq!(sequence(&joint, &stages(&["+90°"]), None).unwrap().snug, None);
    }
}
