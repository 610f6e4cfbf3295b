//! # An adapter nobody can correct for
//!
//! ## What it means
//! An adapter changes the lever, and the length of the wrench it goes on isn't known.
//!
//! ## Why it matters
//! Straight ahead, an adapter of 50 mm on a wrench of 400 mm gives an eighth more than the scale says.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 10..60 N·m}
//! torques:
//!   union: {torque: 30 N·m, adapter: {length: 50 mm}}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 10..60 N·m, length: 400 mm}
//! torques:
//!   union: {torque: 30 N·m, adapter: {length: 50 mm}}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL606",
    name: "adapter-not-corrected",
    severity: Severity::Warning,
    page: include_str!("adapter_not_corrected.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, tightening) in &facts.torques {
        let def = set.catalogue.torques.get(*handle);
        let uncorrected = tightening.stages.iter().any(|s| s.uncorrected);
        let Some(length) = def
            .value
            .adapter
            .as_ref()
            .and_then(|a| a.length.as_ref())
            .filter(|_| uncorrected)
        else {
            continue;
        };
        let message = format!(
            "an adapter of {} changes the torque, and no wrench here says how long it is",
            length.value
        );
        let help = "give the wrench its `length:` from the drive to the middle of the grip, or set the adapter at 90°";
        findings.push(Finding::new(&RULE, length.span, message).help(help));
    }
}
