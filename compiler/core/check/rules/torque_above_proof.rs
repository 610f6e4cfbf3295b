//! # The torque stretches the bolt past its proof load
//!
//! ## What it means
//! By the usual friction of the stated lubrication, the torque gives more preload than the proof load of that thread and class.
//!
//! ## Why it matters
//! A bolt past its proof load stays longer, and lets go of what it holds. Most often the class, the thread or the figure is mistyped.
//!
//! The figure is yours: if it is right, say what you compared it with in `confirmed:` and this stays silent. The preload is an estimate by the usual friction, whose scatter is a quarter either way and more.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover: {fastener: M6 8.8, torque: 16 N·m, lubrication: oiled}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover: {fastener: M6 8.8, torque: 9 N·m, lubrication: oiled}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::check::torque_spec::estimates;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL301",
    name: "torque-above-proof",
    severity: Severity::Warning,
    page: include_str!("torque_above_proof.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (spec, estimate) in estimates(set, facts) {
        let above = estimate.assessment.is_above_proof() && estimate.slips.is_empty();
        let Some(share) = estimate.assessment.share_of_proof().filter(|_| above) else {
            continue;
        };
        if !super::dry_figure_lubricated::explains(estimate) {
            let finding = spec.finding(&RULE, estimate, spec.comes_to(estimate, share));
            findings.push(
                finding.help(
                    "check figure, thread and class against the source; if all are right, say so in `confirmed:`",
                ),
            );
        }
    }
}
