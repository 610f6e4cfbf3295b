//! # Started by hand again without having been tightened
//!
//! ## What it means
//! The same fasteners are run in by hand twice, and nothing tightens or loosens them in between.
//!
//! ## Why it matters
//! Where one entry stands for the bolts of two like joints, the `[torque …]` of the first joint is missing, and the second one's
//! hides it.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! torques: {rod-nuts: {torque: 24 N·m, lubrication: oiled}}
//! ---
//!
//! 1. Run on the [snug rod-nuts] of rod 1.
//! 2. Run on the [snug rod-nuts] of rod 2.
//! 3. Tighten the [torque rod-nuts] of rod 2.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! torques: {rod-nuts: {torque: 24 N·m, lubrication: oiled}}
//! ---
//!
//! 1. Run on the [snug rod-nuts] of rod 1.
//! 2. Tighten the [torque rod-nuts] of rod 1.
//! 3. Run on the [snug rod-nuts] of rod 2.
//! 4. Tighten the [torque rod-nuts] of rod 2.
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL408",
    name: "snugged-twice",
    severity: Severity::Warning,
    page: include_str!("snugged_twice.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::SnuggedTwice { torque } = &fault.wrong {
            let id = &walked.set.catalogue.torques.get(*torque).id.text;
            let message = format!("`{id}` is started by hand again though nothing has tightened it");
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("tighten the first ones before, or leave out the second mark"),
            );
        }
    }
}
