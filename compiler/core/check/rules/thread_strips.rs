//! # The thread strips first
//!
//! ## What it means
//! By the usual friction of the stated lubrication, the preload is more than the engaged threads can hold in that material.
//!
//! ## Why it matters
//! A stripped hole in a casting costs more than the bolt. The engagement is too short for the material, or the figure is for steel.
//!
//! The figure is yours: if it is right, say what you compared it with in `confirmed:` and this stays silent. The preload is an estimate by the usual friction, whose scatter is a quarter either way and more.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover: {fastener: M8 10.9, torque: 30 N·m, lubrication: oiled, engagement: 5 mm, into: cast aluminium}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover: {fastener: M8 8.8, torque: 20 N·m, lubrication: oiled, engagement: 16 mm, into: cast aluminium}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::check::torque_spec::{estimates, percent};
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL304",
    name: "thread-strips",
    severity: Severity::Warning,
    page: include_str!("thread_strips.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (spec, estimate) in estimates(set, facts) {
        let Some(margin) = estimate
            .assessment
            .strip_margin()
            .filter(|_| estimate.assessment.strips())
        else {
            continue;
        };
        let message = format!(
            "{} on {} {} is more than the threads hold: they strip at an estimated {} of that preload",
            estimate.torque,
            spec.fastener(),
            spec.lubrication(),
            percent(margin)
        );
        let finding = Finding::new(&RULE, spec.stage(estimate.stage), message);
        let finding = spec
            .tapped_span()
            .into_iter()
            .fold(finding, |f, span| f.also(span, "tapped in this"));
        findings.push(finding.help("check figure, engagement and material; if all are right, say so in `confirmed:`"));
    }
}
