//! # A torque with two tolerances
//!
//! ## What it means
//! The torque is written with a tolerance or as a range, and `tolerance:` gives another.
//!
//! ## Why it matters
//! One of them is not held, and the card would print both.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover: {torque: 9 N·m ± 10 %, tolerance: ± 5 %}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover: {torque: 9 N·m ± 5 %}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::domain::tightening::{Stage, TorqueValue};
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL309",
    name: "two-tolerances",
    severity: Severity::Error,
    page: include_str!("two_tolerances.rs"),
};

pub fn check(set: &Set, _: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (_, def) in set.catalogue.torques.iter() {
        let Some(tolerance) = &def.value.tolerance else {
            continue;
        };
        let mut torques = def
            .value
            .stages
            .iter()
            .filter(|s| s.value.torque().is_some())
            .peekable();
        // Stages without a tolerance of their own take the one of the spec.
        let own = |stage: &Stage| stage.torque().is_some_and(TorqueValue::has_bounds);
        let first = torques.peek().copied();
        if let Some(stage) = first.filter(|_| torques.all(|stage| own(&stage.value))) {
            let message = format!("`{}` has a tolerance already: {}", def.id.text, stage.value);
            findings.push(
                Finding::new(&RULE, tolerance.span, message)
                    .also(stage.span, "the other")
                    .help("keep one of them"),
            );
        }
    }
}
