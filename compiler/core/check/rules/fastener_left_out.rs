//! # Fasteners left out
//!
//! ## What it means
//! At the end a part is on whose fasteners were never tightened since it went on, or since another piece of it did.
//!
//! ## Why it matters
//! It is held by nothing.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   covers: {name: covers, qty: 2}
//! torques:
//!   screws: {torque: 9 N·m, lubrication: dry, secures: [covers]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Lift off the [remove covers].
//! 3. Set on the left one. [fit covers 1]
//! 4. Tighten the [torque screws].
//! 5. Set on the right one. [fit covers 1]
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   covers: {name: covers, qty: 2}
//! torques:
//!   screws: {torque: 9 N·m, lubrication: dry, secures: [covers]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Lift off the [remove covers].
//! 3. Set on both [fit covers].
//! 4. Tighten the [torque screws].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL438",
    name: "fastener-left-out",
    severity: Severity::Error,
    page: include_str!("fastener_left_out.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::LeftOut { torque } = &fault.wrong {
            let message = format!(
                "`{}` is not in at the end, and what it secures is on",
                walked.id(torque.entity())
            );
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("tighten it once all that it secures is on"),
            );
        }
    }
}
