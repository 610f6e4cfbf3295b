//! What a torque may do to a fastener. Estimates, to catch a wrong figure; never a figure to tighten by.

use uom::si::f64::{Force, Length, Ratio, Torque};
use uom::si::ratio::ratio;

use super::friction::{Friction, motosh_preload, usual_bearing_diameter};
use super::nut_factor;
use crate::fastener::{Fastener, TappedMaterial, Thread, strip};
use crate::lubrication::Lubrication;
use crate::quantity::{Unit, Written};
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
    /// The target torque at the usual friction.
    pub usual: Force,
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

/// A preload below this share of the proof load hardly clamps: an eighth, since a figure for 75 % of proof read in the wrong one of
/// N·m, lbf·in and lbf·ft comes out at 6 to 9 %. Common practice, no source.
const IMPLAUSIBLY_LOW: f64 = 0.125;
/// The shares of proof load a torque usually aims at: a quarter (soft joints, covers) to nine tenths. Common practice, no source.
const PLAUSIBLE: std::ops::RangeInclusive<f64> = 0.25..=0.9;
/// Units in which torques are given, the usual ones first.
const CANDIDATES: [&str; 7] = ["N·m", "lbf·ft", "lbf·in", "kgf·m", "kgf·cm", "N·cm", "ozf·in"];

impl Assessment {
    /// The usual preload as a share of the proof load.
    pub fn share_of_proof(&self) -> Option<Ratio> {
        self.proof_load.map(|proof| self.preload.usual / proof)
    }

    /// The low and the high end of the preload as shares of the proof load.
    pub fn share_of_proof_range(&self) -> Option<(Ratio, Ratio)> {
        self.proof_load
            .map(|proof| (self.preload.low / proof, self.preload.high / proof))
    }

    /// Strip load over the usual preload: below 1 the threads go first.
    pub fn strip_margin(&self) -> Option<Ratio> {
        self.strip_load.map(|strip| strip / self.preload.usual)
    }

    /// Strip load over the highest preload.
    pub fn least_strip_margin(&self) -> Option<Ratio> {
        self.strip_load.map(|strip| strip / self.preload.high)
    }

    /// Whether the usual preload is above the proof load.
    pub fn is_above_proof(&self) -> bool {
        self.share_of_proof().is_some_and(|share| share.get::<ratio>() > 1.0)
    }

    /// Whether the usual preload hardly clamps: below an eighth of the proof load.
    pub fn is_implausibly_low(&self) -> bool {
        self.share_of_proof()
            .is_some_and(|share| share.get::<ratio>() < IMPLAUSIBLY_LOW)
    }

    /// Whether the threads strip before the usual preload is reached.
    pub fn strips(&self) -> bool {
        self.strip_margin().is_some_and(|margin| margin.get::<ratio>() < 1.0)
    }
}

/// The preload a torque may give: by the nut factor where threads and face are alike, by thread and bearing friction where they
/// differ (mean bearing diameter 1.25 d).
pub fn estimate(thread: Thread, lubrication: Lubrication, low: Torque, target: Torque, high: Torque) -> PreloadRange {
    if lubrication.threads == lubrication.face {
        let factor = lubrication.threads.nut_factor();
        let preload = |k, torque| nut_factor::preload(k, thread.diameter(), torque);
        return PreloadRange {
            low: preload(factor.high, low),
            usual: preload(factor.usual, target),
            high: preload(factor.low, high),
        };
    }
    let (threads, face) = (lubrication.threads.friction(), lubrication.face.friction());
    let bearing = usual_bearing_diameter(thread);
    let preload = |threads, face, torque| motosh_preload(thread, bearing, Friction { threads, face }, torque);
    PreloadRange {
        low: preload(threads.high, face.high, low),
        usual: preload(threads.usual, face.usual, target),
        high: preload(threads.low, face.low, high),
    }
}

/// Estimates what a torque comes to in a joint.
pub fn assess(joint: &Joint, torque: &TorqueValue) -> Assessment {
    let thread = joint.fastener.thread();
    let preload = estimate(
        thread,
        joint.lubrication,
        torque.low().quantity(),
        torque.target().quantity(),
        torque.high().quantity(),
    );
    let strip_load = joint
        .engagement
        .zip(joint.into)
        .map(|(length, material)| strip::strip_load(joint.fastener, length, material));
    Assessment {
        preload,
        proof_load: joint.fastener.proof_load(),
        strip_load,
    }
}

/// The same figure in a likelier unit.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitSlip {
    /// The author's figure with the other unit.
    pub torque: Written<Torque>,
    /// The share of the proof load it would come to.
    pub share_of_proof: Ratio,
}

/// Other units in which the author's figure would be believable, when in its own it isn't: above the proof load or implausibly low.
/// The likeliest first: nearest to three quarters of the proof load. Empty without a property class.
pub fn unit_slips(joint: &Joint, torque: &TorqueValue) -> Vec<UnitSlip> {
    let own = assess(joint, torque);
    let Some(proof) = own
        .proof_load
        .filter(|_| own.is_above_proof() || own.is_implausibly_low())
    else {
        return Vec::new();
    };
    let mut slips: Vec<UnitSlip> = CANDIDATES
        .iter()
        .filter_map(|symbol| Unit::find(symbol))
        .filter(|unit| *unit != torque.unit())
        .filter_map(|unit| {
            let other: Written<Torque> =
                crate::quantity::Measure::new(torque.target().figure().clone(), unit).typed()?;
            let quantity = other.quantity();
            let preload = estimate(joint.fastener.thread(), joint.lubrication, quantity, quantity, quantity);
            let share_of_proof = preload.usual / proof;
            PLAUSIBLE.contains(&share_of_proof.get::<ratio>()).then_some(UnitSlip {
                torque: other,
                share_of_proof,
            })
        })
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
        // 22 / (0.17 · 8 mm) = 16.2 kN, of 21.2 kN.
        assert!((found.share_of_proof().unwrap().get::<ratio>() - 0.763).abs() < 0.005);
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
