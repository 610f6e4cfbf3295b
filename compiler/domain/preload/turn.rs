//! Turning by an angle: how far a nut advances, what of it stretches the bolt, and what that adds to the preload. Hooke's law holds up to
//! yield; from there on the preload stays where it is and every further degree lengthens the bolt for good.

use std::sync::OnceLock;

use serde::Deserialize;
use uom::si::angle::revolution;
use uom::si::f64::{Angle, Area, Force, Length, Pressure};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::pressure::gigapascal;

use super::assess::{Joint, PreloadRange, assess};
use crate::fastener::Fastener;
use crate::table;
use crate::tightening::Stage;

const ELONGATION: &str = include_str!("../../tables/elongation.csv");

#[derive(Deserialize)]
struct Row {
    class: String,
    fracture: f64,
}

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

/// Clamped parts are usually three to six times as stiff as the bolt, so 75 % to 86 % of the advance goes into the bolt (common
/// practice, in line with VDI 2230 examples; from memory). Threads seating and gaskets take more.
const STIFFNESS_RATIO: (f64, f64) = (3.0, 6.0);

/// A bolt stretches evenly up to its uniform elongation and then necks. Standards state the elongation after fracture; half of it is
/// uniform (common practice, no source).
const UNIFORM_SHARE_OF_FRACTURE: f64 = 0.5;

/// What the free threads take of the stretch past yield is about three times their share of the length (a head bolt's shank is thicker
/// than its thread), so a third of the uniform elongation over the whole length is all of it there. Common practice, no source.
const DESTRUCTIVE_SHARE: f64 = 1.0 / 3.0;

/// The uniform elongation of a fastener's class as a share of its length; `None` without a class, or where the table has none.
pub fn uniform_elongation(fastener: Fastener) -> Option<f64> {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    let rows = ROWS.get_or_init(|| table::rows("elongation.csv", ELONGATION));
    let class = fastener.class()?;
    let row = rows.iter().find(|row| row.class == class.name())?;
    Some(row.fracture / 100.0 * UNIFORM_SHARE_OF_FRACTURE)
}

/// What a further angle does to a bolt if the joint takes its usual share of the advance; estimated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turned {
    /// The share of the advance that stretches the bolt while it is elastic.
    pub share: f64,
    /// The preload added: up to yield and no further.
    pub added: Force,
    /// How much longer than slack the bolt is.
    pub stretch: Length,
    /// What of that stays when it is loosened.
    pub lasting: Length,
}

/// What a sequence of stages with further angles comes to; estimated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SequenceEstimate {
    /// The preload of the last torque before the angles; `None` if the sequence starts with an angle.
    pub snug: Option<PreloadRange>,
    /// All further angles together.
    pub angle: Angle,
    /// How far the nut advances.
    pub advance: Length,
    /// The clamped length that it is reckoned over.
    pub grip: Length,
    /// In a joint as soft as is usual, and in one as stiff.
    pub turned: (Turned, Turned),
    /// Whether the bolt may yield, by the stiffer joint; `None` without a class.
    pub may_yield: Option<bool>,
    /// Whether the last torque alone takes it past yield.
    pub yields_before: bool,
    /// The lasting stretch as shares of the uniform elongation, soft and stiff; `None` where that isn't known.
    pub of_uniform: Option<(f64, f64)>,
}

impl SequenceEstimate {
    /// Whether the angle plainly destroys the bolt: the torque before it is past yield already, or the softer joint leaves more than a
    /// third of the uniform elongation in it for good.
    pub fn is_destructive(&self) -> bool {
        self.yields_before || self.of_uniform.is_some_and(|(soft, _)| soft > DESTRUCTIVE_SHARE)
    }
}

/// The grip to assume when nobody gave it: five diameters, about that of a cylinder-head or main-bearing bolt.
/// Common practice, no source.
pub fn usual_grip(fastener: Fastener) -> Length {
    5.0 * fastener.thread().diameter()
}

/// Turns a bolt on by an advance of its nut, from a preload, over a grip, with the stress area taken for the whole length.
fn turned(fastener: Fastener, snug: Force, advance: Length, grip: Length, ratio: f64) -> Turned {
    let share = ratio / (1.0 + ratio);
    let area = fastener.thread().stress_area();
    let slack = Force::new::<newton>(0.0);
    let snug_stretch = stretch(snug, grip, area, steel_modulus());
    let wanted = share * advance;
    // What is left to yield; without a class there is no end to it.
    let room = fastener.yield_load().map(|load| {
        let left = (load - snug).max(slack);
        stretch(left, grip, area, steel_modulus())
    });
    let elastic = room.map_or(wanted, |room| room.min(wanted));
    // Past yield the joint closes no further: all of the advance goes into the bolt.
    let lasting = advance - elastic / share;
    Turned {
        share,
        added: area * steel_modulus() * elastic / grip,
        stretch: snug_stretch + elastic + lasting,
        lasting,
    }
}

/// Estimates a sequence of stages over a grip ([`usual_grip`] if nobody gave it). `None` if no stage is an angle after the last
/// torque: then there is nothing to add.
pub fn sequence(joint: &Joint, stages: &[Stage], grip: Option<Length>) -> Option<SequenceEstimate> {
    let fastener = joint.fastener;
    let angles = stages.rsplit(|stage| stage.torque().is_some()).next()?;
    let angle = total(angles)?;
    let last = stages.iter().rev().find_map(Stage::torque);
    let snug = last.map(|torque| assess(joint, torque).preload);
    let grip = grip
        .filter(|grip| grip.get::<meter>() > 0.0)
        .unwrap_or_else(|| usual_grip(fastener));
    let from = snug.map_or(Force::new::<newton>(0.0), |snug| snug.usual);
    let advance = advance(fastener.thread().pitch(), angle);
    let by = |ratio| turned(fastener, from, advance, grip, ratio);
    let (soft, stiff) = (by(STIFFNESS_RATIO.0), by(STIFFNESS_RATIO.1));
    let lasts = |turned: Turned| (turned.lasting / grip).get::<uom::si::ratio::ratio>();
    Some(SequenceEstimate {
        snug,
        angle,
        advance,
        grip,
        turned: (soft, stiff),
        may_yield: fastener
            .yield_load()
            .map(|load| from >= load || stiff.lasting.get::<meter>() > 1e-9),
        yields_before: fastener.yield_load().is_some_and(|load| from >= load),
        of_uniform: uniform_elongation(fastener).map(|uniform| (lasts(soft) / uniform, lasts(stiff) / uniform)),
    })
}

/// All the angles of some stages together; `None` if there is none.
pub fn total(stages: &[Stage]) -> Option<Angle> {
    let angles = stages.iter().filter_map(Stage::turn);
    angles
        .map(|turn| turn.angle().quantity())
        .reduce(|sum, angle| sum + angle)
}

#[cfg(test)]
mod tests {
    use uom::si::force::kilonewton;
    use uom::si::length::millimeter;

    use super::*;
    use crate::lubrication::Lubrication;

    fn found(fastener: &str, stages: &[&str], grip: f64) -> SequenceEstimate {
        let joint = Joint {
            fastener: Fastener::parse(fastener).unwrap(),
            lubrication: Lubrication::parse("oiled").unwrap(),
            engagement: None,
            into: None,
        };
        let stages: Vec<Stage> = stages.iter().map(|text| Stage::parse(text).unwrap()).collect();
        let grip = (grip > 0.0).then(|| Length::new::<millimeter>(grip));
        sequence(&joint, &stages, grip).unwrap()
    }

    #[test]
    fn every_row_is_sourced() {
        table::assert_sourced("elongation.csv", ELONGATION);
    }

    #[test]
    fn preload_stops_at_yield_and_the_rest_of_the_angle_stays_in_the_bolt() {
        let head = found("M10 10.9", &["20 N·m", "40 N·m", "+90°", "+90°"], 100.0);
        assert_eq!((head.may_yield, head.is_destructive()), (Some(true), false));
        // 0.75 mm of advance; the yield load is 54.5 kN.
        assert!((head.advance.get::<millimeter>() - 0.75).abs() < 1e-9);
        for turned in [head.turned.0, head.turned.1] {
            let load = head.snug.unwrap().usual + turned.added;
            assert!((load.get::<kilonewton>() - 54.5).abs() < 0.1, "{load:?}");
            assert!(turned.lasting.get::<millimeter>() > 0.2 && turned.lasting < head.advance);
            assert!(turned.stretch > turned.lasting);
        }
        assert!(head.of_uniform.unwrap().0 < head.of_uniform.unwrap().1);
        let small = found("M12 10.9", &["20 N·m", "+15°"], 150.0);
        assert_eq!(small.may_yield, Some(false));
        assert!(small.turned.1.lasting.get::<millimeter>().abs() < 1e-9);
        assert_eq!(found("M10", &["20 N·m", "+90°"], 50.0).may_yield, None);
    }

    #[test]
    fn plainly_destructive_angles() {
        assert!(found("M10 8.8", &["40 N·m", "+900°"], 0.0).is_destructive());
        assert!(found("M10 8.8", &["80 N·m", "+270°"], 0.0).is_destructive());
        assert!(found("M12 10.9", &["80 N·m", "+270°"], 60.0).is_destructive());
        assert!(found("M8 8.8", &["+90 turns"], 0.0).is_destructive());
        assert!(!found("M10 10.9", &["40 N·m", "+90°", "+90°"], 0.0).is_destructive());
    }
}
