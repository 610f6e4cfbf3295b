//! # Stages that fall
//!
//! ## What it means
//! A stage of a torque is not above the one before it.
//!
//! ## Why it matters
//! The wrench clicks at once and the stage does nothing; most often two figures stand the wrong way round, and the last is too low.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cap: {stages: [40 N·m, 20 N·m]}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cap: {stages: [20 N·m, 40 N·m]}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;
use std::cmp::Ordering;

pub static RULE: Rule = Rule {
    code: "BL310",
    name: "stage-falls",
    severity: Severity::Warning,
    page: include_str!("stage_falls.rs"),
};

pub fn check(set: &Set, _: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (_, def) in set.catalogue.torques.iter() {
        for pair in def.value.stages.windows(2) {
            let [before, stage] = pair else { continue };
            // A hand turns no further what has been tightened before.
            if !stage.value.is_by_hand() {
                // What an angle leaves in the bolt is no torque to compare with.
                let (Some(first), Some(second)) = (before.value.torque(), stage.value.torque()) else {
                    continue;
                };
                if second.target().measure().compare(first.target().measure()) == Some(Ordering::Greater) {
                    continue;
                }
            }
            let message = format!(
                "the stage {} is not above the one before, {}",
                stage.value, before.value
            );
            findings.push(
                Finding::new(&RULE, stage.span, message)
                    .also(before.span, "the one before")
                    .help("let the stages rise; to loosen in between, write that as a step, with a torque of its own after it"),
            );
        }
    }
}
