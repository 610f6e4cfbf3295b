//! # The torque hardly clamps
//!
//! ## What it means
//! By the usual friction of the stated lubrication, the torque gives less than an eighth of the proof load (common practice, no source).
//!
//! ## Why it matters
//! So little preload doesn't hold a joint. Most often one digit is missing; where another unit would make sense of the figure, that is an error of its own (`torque-unit-slip`). Of a range the least torque is judged.
//!
//! The figure is yours: if it is right, say what you compared it with in `confirmed:` and this stays silent. The preload is an estimate by the usual friction, whose scatter is a quarter either way and more.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   feet: {fastener: M20 10.9, torque: 3.3 N·m, lubrication: dry}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   feet: {fastener: M20 10.9, torque: 600 N·m, lubrication: dry}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::check::torque_spec::estimates;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL302",
    name: "torque-barely-clamps",
    severity: Severity::Warning,
    page: include_str!("torque_barely_clamps.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (spec, estimate) in estimates(set, facts) {
        // What an angle adds to is meant to be low.
        let low = estimate.assessment.is_implausibly_low() && estimate.slips.is_empty() && estimate.turn.is_none();
        let Some(share) = estimate.assessment.share_of_proof().filter(|_| low) else {
            continue;
        };
        findings.push(
            spec.finding(&RULE, estimate, spec.comes_to(estimate, share))
                .help("check figure, thread and class against the source; if all are right, say so in `confirmed:`"),
        );
    }
}
