//! # Loosened or started by hand, and never tightened
//!
//! ## What it means
//! Fasteners are loosened, or run in by hand, and no `[torque ID]` follows before the set ends.
//!
//! ## Why it matters
//! A bolt left finger-tight looks like a tight one.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! torques: {cover-bolts: {torque: 9 N·m, lubrication: dry}}
//! ---
//!
//! 1. Undo the [loosen cover-bolts].
//! 2. Run in the [snug cover-bolts].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! torques: {cover-bolts: {torque: 9 N·m, lubrication: dry}}
//! ---
//!
//! 1. Undo the [loosen cover-bolts].
//! 2. Run in the [snug cover-bolts].
//! 3. Tighten the [torque cover-bolts].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL407",
    name: "fastener-left-loose",
    severity: Severity::Error,
    page: include_str!("fastener_left_loose.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::LeftLoose { torque, snug } = &fault.wrong {
            let id = &walked.set.catalogue.torques.get(*torque).id.text;
            let how = if *snug { "started by hand" } else { "loosened" };
            let message = format!("`{id}` is {how} here and never tightened after");
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help(format!("add the step with `[torque {id}]`")),
            );
        }
    }
}
