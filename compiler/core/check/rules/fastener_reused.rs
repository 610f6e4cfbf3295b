//! # Single-use fasteners tightened again
//!
//! ## What it means
//! Fasteners with `reuse: no` are loosened and later tightened, and they name no `part:` of which new ones went on in between.
//!
//! ## Why it matters
//! A fastener that is stretched or locks by deformation doesn't hold a second time, and a new one that is on no parts list isn't in the
//! kit when it is needed.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! torques: {flange: {name: flange nuts, torque: 18 N·m, lubrication: dry, reuse: no}}
//! ---
//!
//! 1. Undo the [loosen flange].
//! 2. Tighten the [torque flange].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! torques: {flange: {name: flange nuts, torque: 18 N·m, lubrication: dry, part: nuts}}
//! parts:
//!   nuts: {name: nuts, qty: 2, renew: yes, reuse: no}
//! ---
//!
//! 1. Undo the [loosen flange] and take off the [remove nuts].
//! 2. Run on new [fit nuts].
//! 3. Tighten the [torque flange].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL409",
    name: "fastener-reused",
    severity: Severity::Warning,
    page: include_str!("fastener_reused.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::FastenerReused { torque } = &fault.wrong {
            let id = &walked.set.catalogue.torques.get(*torque).id.text;
            let message = format!("`{id}` is for single use, but is tightened again with nothing new fitted");
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("say which part they are with `part:`, and fit new ones of it"),
            );
        }
    }
}
