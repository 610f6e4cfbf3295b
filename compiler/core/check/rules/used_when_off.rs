//! # A temporary item used while it is off
//!
//! ## What it means
//! `[use …]` names a temporary item that is not on.
//!
//! ## Why it matters
//! The step relies on something that nobody has set.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! temporary:
//!   prop: {name: prop}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Look that the [use prop] stands.
//! 2. Stand the [fit prop] up.
//! 3. Take the [remove prop] away.
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! temporary:
//!   prop: {name: prop}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Stand the [fit prop] up.
//! 2. Look that the [use prop] stands.
//! 3. Take the [remove prop] away.
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL448",
    name: "used-when-off",
    severity: Severity::Error,
    page: include_str!("used_when_off.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::UsedOff { item } = &fault.wrong {
            let message = format!("`{}` is not on when this relies on it", walked.id(item.entity()));
            findings.push(walked.tell(&RULE, fault, &message).help("fit it before"));
        }
    }
}
