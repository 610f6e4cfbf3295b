//! What a torque may do to a fastener. Estimates, to catch a wrong figure; never a figure to tighten by.

use uom::si::f64::{Force, Length, Ratio, Torque};
use uom::si::ratio::ratio;

use super::friction::{Friction, motosh_preload, usual_bearing_diameter};
use crate::fastener::{Fastener, TappedMaterial, Thread, strip};
use crate::lubrication::Lubrication;
use crate::quantity::{Measure, Unit, Written};
use crate::tightening::TorqueValue;

/// What is known of a joint besides its torque.
#[derive(Clone, Copy, Debug)]
pub struct Joint {
    /// Thread and class.
    pub fastener: Fastener,
    /// Condition of threads and face.
    pub lubrication: Lubrication,
    /// Length of thread engaged, if given.
    pub engagement: Option<Length>,
    /// What the hole is tapped in, if given.
    pub into: Option<TappedMaterial>,
}

/// A range of preloads, with the usual one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PreloadRange {
    /// The least torque at the highest friction.
    pub low: Force,
    /// The least torque at the usual friction.
    pub usual_low: Force,
    /// The target torque at the usual friction.
    pub usual: Force,
    /// The greatest torque at the usual friction.
    pub usual_high: Force,
    /// The greatest torque at the lowest friction.
    pub high: Force,
}

/// What a torque comes to in a joint; all of it estimated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assessment {
    /// The preload.
    pub preload: PreloadRange,
    /// Proof load; `None` without a property class.
    pub proof_load: Option<Force>,
    /// Load at which the engaged threads strip; `None` unless both length and material are known.
    pub strip_load: Option<Force>,
}

/// A preload below this share of the proof load hardly clamps (common practice, no source).
const IMPLAUSIBLY_LOW: f64 = 0.125;
/// Below this share another unit is looked for. Far slips, such as lbf·in for lbf·ft, are by seven times and more, so what is at most
/// proof in the right unit comes out below a seventh in the wrong one.
const SLIP_LOW: f64 = 0.2;
/// The shares of proof load that a torque may aim at: a quarter (soft joints, covers; common practice, no source) to the whole. Torque
/// tables for dry bolts come to 0.52 to 1.0 (US Army TM 9-2320-362-14&P, table F-1; TM 10-4320-316-14, table G-1).
const PLAUSIBLE: std::ops::RangeInclusive<f64> = 0.25..=1.0;
/// What most tables aim at: 0.75 of the proof load where a joint is taken apart again and 0.9 where it isn't (Shigley 9th ed., equation
/// 8-31), 0.9 of yield by VDI 2230; with a tenth either way for their rounding and for friction a little off the usual.
const TABLES: std::ops::RangeInclusive<f64> = 0.675..=1.0;
/// Units in which torques are given, the usual ones first.
const CANDIDATES: [&str; 7] = ["N·m", "lbf·ft", "lbf·in", "kgf·m", "kgf·cm", "N·cm", "ozf·in"];

impl Assessment {
    /// The usual preload as a share of the proof load.
    pub fn share_of_proof(&self) -> Option<Ratio> {
        self.proof_load.map(|proof| self.preload.usual / proof)
    }

    /// The least and the greatest torque at the usual friction as shares of the proof load: apart where the torque has a range or a
    /// tolerance.
    pub fn usual_shares_of_proof(&self) -> Option<(Ratio, Ratio)> {
        self.proof_load
            .map(|proof| (self.preload.usual_low / proof, self.preload.usual_high / proof))
    }

    /// The low and the high end of the preload as shares of the proof load.
    pub fn share_of_proof_range(&self) -> Option<(Ratio, Ratio)> {
        self.proof_load
            .map(|proof| (self.preload.low / proof, self.preload.high / proof))
    }

    /// Strip load over the greatest usual preload: below 1 the threads go first.
    pub fn strip_margin(&self) -> Option<Ratio> {
        self.strip_load.map(|strip| strip / self.preload.usual_high)
    }

    /// Whether the greatest torque allowed puts the usual preload above the proof load.
    pub fn is_above_proof(&self) -> bool {
        self.usual_shares_of_proof()
            .is_some_and(|(_, high)| high.get::<ratio>() > 1.0)
    }

    /// Whether the least torque allowed hardly clamps: below an eighth of the proof load.
    pub fn is_implausibly_low(&self) -> bool {
        self.usual_shares_of_proof()
            .is_some_and(|(low, _)| low.get::<ratio>() < IMPLAUSIBLY_LOW)
    }

    /// Whether the threads strip before the greatest usual preload is reached.
    pub fn strips(&self) -> bool {
        self.strip_margin().is_some_and(|margin| margin.get::<ratio>() < 1.0)
    }
}

/// The preload a torque may give, by thread and bearing friction apart (VDI 2230; mean bearing diameter 1.25 d).
pub fn estimate(thread: Thread, lubrication: Lubrication, low: Torque, target: Torque, high: Torque) -> PreloadRange {
    let (threads, face) = (lubrication.threads.friction(), lubrication.face.friction());
    let bearing = usual_bearing_diameter(thread);
    let preload = |threads, face, torque| motosh_preload(thread, bearing, Friction { threads, face }, torque);
    PreloadRange {
        low: preload(threads.high, face.high, low),
        usual_low: preload(threads.usual, face.usual, low),
        usual: preload(threads.usual, face.usual, target),
        usual_high: preload(threads.usual, face.usual, high),
        high: preload(threads.low, face.low, high),
    }
}

/// The load at which the threads of a joint strip; `None` unless both length and material are known.
pub fn strip_load(joint: &Joint) -> Option<Force> {
    let (length, material) = joint.engagement.zip(joint.into)?;
    Some(strip::strip_load(joint.fastener, length, material))
}

/// Estimates what a torque comes to in a joint.
pub fn assess(joint: &Joint, torque: &TorqueValue) -> Assessment {
    let preload = estimate(
        joint.fastener.thread(),
        joint.lubrication,
        torque.low().quantity(),
        torque.target().quantity(),
        torque.high().quantity(),
    );
    Assessment {
        preload,
        proof_load: joint.fastener.proof_load(),
        strip_load: strip_load(joint),
    }
}

/// The same figure in another unit.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitSlip {
    /// The author's figure with the other unit.
    pub torque: Written<Torque>,
    /// The share of the proof load it would come to.
    pub share_of_proof: Ratio,
}

/// Other units in which the author's figure would be believable, when in its own it isn't: above the proof load, or below a fifth of
/// it. The likeliest first: nearest to three quarters of the proof load. Empty without a property class.
pub fn unit_slips(joint: &Joint, torque: &TorqueValue) -> Vec<UnitSlip> {
    let share = assess(joint, torque).share_of_proof();
    match share.is_some_and(|share| !(SLIP_LOW..=1.0).contains(&share.get::<ratio>())) {
        true => in_other_units(joint, torque, &PLAUSIBLE),
        false => Vec::new(),
    }
}

/// The unit in which the author's figure would come to what tables aim at, when in its own it is believable and falls short of that.
/// Which of the two is meant, nobody can tell from the figure: N·m and lbf·ft are nearer to each other than tables are.
pub fn unit_in_doubt(joint: &Joint, torque: &TorqueValue) -> Option<UnitSlip> {
    let share = assess(joint, torque).share_of_proof()?.get::<ratio>();
    let short = share >= SLIP_LOW && share < *TABLES.start();
    short
        .then(|| in_other_units(joint, torque, &TABLES))
        .and_then(|slips| slips.into_iter().next())
}

/// The shares of proof load that tables aim at, low and high.
pub fn table_shares() -> (Ratio, Ratio) {
    (Ratio::new::<ratio>(*TABLES.start()), Ratio::new::<ratio>(*TABLES.end()))
}

/// The author's figure in every other unit that puts it inside some shares of the proof load and doesn't strip the threads, the likeliest
/// first.
fn in_other_units(joint: &Joint, torque: &TorqueValue, shares: &std::ops::RangeInclusive<f64>) -> Vec<UnitSlip> {
    let Some(proof) = joint.fastener.proof_load() else {
        return Vec::new();
    };
    let strip = strip_load(joint);
    let in_unit = |unit: Unit| {
        let other: Written<Torque> = Measure::new(torque.target().figure().clone(), unit).typed()?;
        let quantity = other.quantity();
        let preload = estimate(joint.fastener.thread(), joint.lubrication, quantity, quantity, quantity).usual;
        let share_of_proof = preload / proof;
        let holds = strip.is_none_or(|strip| preload <= strip);
        (holds && shares.contains(&share_of_proof.get::<ratio>())).then_some(UnitSlip {
            torque: other,
            share_of_proof,
        })
    };
    let others = CANDIDATES.iter().filter_map(|symbol| Unit::find(symbol));
    let mut slips: Vec<UnitSlip> = others
        .filter(|unit| *unit != torque.unit())
        .filter_map(in_unit)
        .collect();
    let distance = |slip: &UnitSlip| (slip.share_of_proof.get::<ratio>() - 0.75).abs();
    slips.sort_by(|one, other| distance(one).total_cmp(&distance(other)));
    slips
}

#[cfg(test)]
mod tests {
    use uom::si::length::millimeter;

    use super::*;
    use crate::lubrication::Condition;

    fn joint(fastener: &str, lubrication: &str) -> Joint {
        Joint {
            fastener: Fastener::parse(fastener).unwrap(),
            lubrication: Lubrication::parse(lubrication).unwrap(),
            engagement: None,
            into: None,
        }
    }

    fn torque(text: &str) -> TorqueValue {
        TorqueValue::parse(text).unwrap()
    }

    #[test]
    fn a_usual_torque_is_believable() {
        let found = assess(&joint("M8 8.8", "oiled"), &torque("22 N·m"));
        assert!(!found.is_above_proof() && !found.is_implausibly_low());
        // 22 N·m over P/2π + 0.12 (0.577 d2 + 0.625 d) = 1.297 mm is 17.0 kN, of 21.2 kN.
        assert!((found.share_of_proof().unwrap().get::<ratio>() - 0.799).abs() < 0.005);
        assert!(unit_slips(&joint("M8 8.8", "oiled"), &torque("22 N·m")).is_empty());
    }

    #[test]
    fn inch_pounds_read_as_foot_pounds() {
        let small = joint("M6 8.8", "dry");
        let slips = unit_slips(&small, &torque("88 lbf·ft"));
        assert_eq!(slips[0].torque.to_string(), "88 lbf·in");
        assert!(assess(&small, &torque("88 lbf·ft")).is_above_proof());
        // Foot-pounds read as inch-pounds.
        let large = joint("M12 8.8", "oiled");
        assert!(assess(&large, &torque("55 lbf·in")).is_implausibly_low());
        let units: Vec<String> = unit_slips(&large, &torque("55 lbf·in"))
            .iter()
            .map(|slip| slip.torque.to_string())
            .collect();
        assert_eq!(units, ["55 lbf·ft", "55 N·m"]);
    }

    #[test]
    fn newton_metres_and_foot_pounds_are_told_apart_where_they_can_be() {
        let bolt = joint("M10 8.8", "dry");
        let doubt = |text: &str| unit_in_doubt(&bolt, &torque(text)).map(|slip| slip.torque.to_string());
        // 54 N·m is about three quarters of the proof load.
        assert_eq!(doubt("54 N·m"), None);
        assert_eq!(doubt("40 N·m").as_deref(), Some("40 lbf·ft"));
        assert!(assess(&bolt, &torque("60 lbf·ft")).is_above_proof());
        assert_eq!(unit_slips(&bolt, &torque("60 lbf·ft"))[0].torque.to_string(), "60 N·m");
        assert_eq!(doubt("25 N·m"), None);
    }

    #[test]
    fn the_ends_of_a_range_are_judged() {
        let bolt = joint("M10 8.8", "dry");
        assert!(assess(&bolt, &torque("20..90 N·m")).is_above_proof());
        assert!(assess(&bolt, &torque("5..55 N·m")).is_implausibly_low());
        assert!(!assess(&bolt, &torque("45..55 N·m")).is_above_proof());
    }

    #[test]
    fn oil_under_a_dry_torque_stretches_further() {
        let torque = torque("25 N·m ± 10 %");
        let dry = assess(&joint("M8 8.8", "dry"), &torque).preload;
        let oiled = assess(&joint("M8 8.8", "oiled"), &torque).preload;
        assert!(oiled.usual > dry.usual && dry.low < dry.usual && dry.usual < dry.high);
        let mixed = Lubrication {
            threads: Condition::parse("oiled").unwrap(),
            face: Condition::parse("dry").unwrap(),
        };
        let between = assess(
            &Joint {
                lubrication: mixed,
                ..joint("M8 8.8", "dry")
            },
            &torque,
        )
        .preload;
        assert!(between.usual > 0.9 * dry.usual && between.usual < 1.1 * oiled.usual);
    }

    #[test]
    fn soft_metal_strips() {
        let short = Joint {
            engagement: Some(Length::new::<millimeter>(5.0)),
            into: Some(TappedMaterial::parse("cast aluminium").unwrap()),
            ..joint("M8 10.9", "oiled")
        };
        assert!(assess(&short, &torque("30 N·m")).strips());
        let long = Joint {
            engagement: Some(Length::new::<millimeter>(16.0)),
            ..short
        };
        assert!(!assess(&long, &torque("30 N·m")).strips());
    }

    proptest::proptest! {
        #![proptest_config(crate::quantity::tests::config())]

        #[test]
        fn more_torque_never_clamps_less(figure in 1_i64..10_000, more in 0_i64..1000, share in 1_u32..50) {
            let at = |figure: i64| assess(&joint("M8 8.8", "oiled"), &torque(&format!("{figure} N·m ± {share} %"))).preload;
            let (less, more) = (at(figure), at(figure + more));
            proptest::prop_assert!(less.low <= more.low && less.usual <= more.usual && less.high <= more.high);
            proptest::prop_assert!(less.low < less.usual && less.usual < less.high);
        }
    }
}
