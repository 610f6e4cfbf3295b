//! # The torque hardly clamps
//!
//! ## What it means
//! By the usual friction of the stated lubrication, the torque gives less than an eighth of the proof load (common practice, no source).
//!
//! ## Why it matters
//! So little preload doesn't hold a joint. Most often the figure is in another unit: pound-force feet read as pound-force inches, or one digit is missing.
//!
//! The figure is yours: if it is right, say what you compared it with in `confirmed:` and this stays silent. The preload is an estimate from nut factors whose scatter is a quarter either way and more.
//!
//! ## Example
//! ```yaml
//! torques:
//!   feet: {fastener: M12 8.8, torque: 55 lbf·in, lubrication: oiled}
//! ```
//!
//! ## Instead
//! ```yaml
//! torques:
//!   feet: {fastener: M12 8.8, torque: 55 lbf·ft, lubrication: oiled}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::check::torque_spec::{estimates, percent};
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
        let low = estimate.assessment.is_implausibly_low();
        let Some(share) = estimate.assessment.share_of_proof().filter(|_| low) else {
            continue;
        };
        let finding = spec.finding(&RULE, estimate, spec.comes_to(estimate, share));
        findings.push(
            finding.help(match estimate.slips.first() {
                Some(slip) => format!(
                    "{} would be an estimated {} of it; if the figure is right as it stands, say so in `confirmed:`",
                    slip.torque,
                    percent(slip.share_of_proof)
                ),
                None => "check figure, thread and class against the source; if all are right, say so in `confirmed:`"
                    .to_string(),
            }),
        );
    }
}
