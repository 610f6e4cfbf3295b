//! # An angle that destroys the bolt
//!
//! ## What it means
//! The angle stages plainly break the bolt, or leave it about to: the torque before them is past yield already; or more than a third of the
//! uniform elongation of its class would stay in it over the whole clamped length (the free threads take most of it; common practice, no
//! source); or, where there is no class to reckon with, they come to more than two turns (turn-of-nut tables of structural bolting end
//! below one turn).
//!
//! ## Why it matters
//! Past its uniform elongation a bolt necks and tears, at the wrench or later. Most often a nought too many, or turns for degrees.
//!
//! The stretch is an estimate: the clamped length comes from `grip:`, or is five diameters where that isn't given. If the angle is right, give the grip, and say what you compared it with in `confirmed:`.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head: {fastener: M10 8.8, stages: [40 N·m, +900°], lubrication: oiled, reuse: no}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head: {fastener: M10 8.8, stages: [40 N·m, +90°], lubrication: oiled, reuse: no}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::domain::preload::turn::{SequenceEstimate, total};
use crate::domain::tightening::Stage;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;
use uom::si::angle::{degree, revolution};
use uom::si::length::millimeter;

pub static RULE: Rule = Rule {
    code: "BL311",
    name: "angle-destroys",
    severity: Severity::Error,
    page: include_str!("angle_destroys.rs"),
};

/// More than any turn-of-nut table asks for, in turns (RCSC, table of nut rotation from snug tight: 5/6 at the most; from memory).
const MOST_TURNS: f64 = 2.0;

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, tightening) in &facts.torques {
        let spec = set.catalogue.torques.get(*handle);
        let stages: Vec<Stage> = spec.value.stages.iter().map(|s| s.value.clone()).collect();
        let first = spec.value.stages.iter().find(|s| s.value.turn().is_some());
        let (Some(angle), Some(first), None) = (total(&stages), first, &spec.value.confirmed) else {
            continue;
        };
        let turn = tightening.estimate.as_ref().and_then(|e| e.turn.as_ref());
        let known = turn.filter(|turn| turn.of_uniform.is_some());
        let fastener = spec.value.fastener.as_ref();
        let name = fastener.map_or("any bolt", |f| f.word.text.as_str());
        let message = match known {
            Some(turn) if turn.yields_before => format!(
                "the torque before this angle takes {name} past its yield point already, by estimate, and {:.0}° more would stretch it by {}",
                angle.get::<degree>(),
                stretch(turn)
            ),
            Some(turn) if turn.is_destructive() => format!(
                "{:.0}° would stretch {name} by an estimated {}",
                angle.get::<degree>(),
                stretch(turn)
            ),
            None if angle.get::<revolution>() > MOST_TURNS => format!(
                "{:.0}° is {:.3} turns, more than {name} takes from snug",
                angle.get::<degree>(),
                angle.get::<revolution>()
            ),
            _ => continue,
        };
        let finding = Finding::new(&RULE, first.span, message);
        let finding = fastener
            .into_iter()
            .fold(finding, |f, fastener| f.also(fastener.word.span, "this fastener"));
        findings.push(finding.help(
            "check the angle and its unit; if it is right, give the clamped length in `grip:` and the source in `confirmed:`",
        ));
    }
}

/// `2.1 mm over 50 mm clamped, of which 1.9 mm stays: 63 % of its uniform elongation`.
fn stretch(turn: &SequenceEstimate) -> String {
    let (soft, _) = turn.turned;
    let (share, _) = turn.of_uniform.unwrap_or_default();
    format!(
        "{:.2} mm over {:.0} mm clamped, of which {:.2} mm stays: {:.0} % of its uniform elongation",
        soft.stretch.get::<millimeter>(),
        turn.grip.get::<millimeter>(),
        soft.lasting.get::<millimeter>(),
        share * 100.0
    )
}
