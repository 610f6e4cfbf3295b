//! # Tightened without what goes on them
//!
//! ## What it means
//! A torque names a `lubricant`, and fasteners are tightened without it having been put on them (`[use … on …]`) since they were last loosened.
//!
//! ## Why it matters
//! The figure holds for that lubricant: dry, or with another, the clamp is off by half.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   nut: {torque: 90 N·m, lubrication: moly, lubricant: moly}
//! consumables:
//!   moly: {name: moly paste}
//!   oil: {name: oil}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Wipe [use moly 5 g on nut] on the thread.
//! 2. Undo the [loosen nut].
//! 3. Wipe [use oil 5 mL on nut] on the thread.
//! 4. Tighten the [torque nut].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   nut: {torque: 90 N·m, lubrication: moly, lubricant: moly}
//! consumables:
//!   moly: {name: moly paste}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen nut].
//! 2. Wipe [use moly 5 g on nut] on the thread.
//! 3. Tighten the [torque nut].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL447",
    name: "dry-fastener",
    severity: Severity::Error,
    page: include_str!("dry_fastener.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::Dry { torque, lubricant } = &fault.wrong {
            let message = format!(
                "`{}` is tightened without `{}` on it",
                walked.id(torque.entity()),
                walked.id(lubricant.entity())
            );
            findings.push(walked.tell(&RULE, fault, &message).help(format!(
                "write `[use {} on {}]` into a step before",
                walked.id(lubricant.entity()),
                walked.id(torque.entity())
            )));
        }
    }
}
