//! # A part that never went back
//!
//! ## What it means
//! A part of the machine came off and is off when the set ends, and no part that `replaces` it is in its place. Single-use parts
//! (`reuse: no`) that nothing is said to replace are not meant.
//!
//! ## Why it matters
//! A part left over on the bench is the oldest sign of a bad rebuild.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! parts: {guard: belt guard}
//! ---
//!
//! 1. Lift off the [remove guard].
//! 2. Change the belt.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! parts: {guard: belt guard}
//! ---
//!
//! 1. Lift off the [remove guard].
//! 2. Change the belt.
//! 3. Set on the [fit guard].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Item;

pub static RULE: Rule = Rule {
    code: "BL405",
    name: "part-left-off",
    severity: Severity::Error,
    page: include_str!("part_left_off.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::LeftOff { part, missing } = &fault.wrong {
            let id = walked.item(Item::Part(*part));
            let message = match (missing, walked.set.catalogue.parts[*part].qty) {
                (1, 1) => format!("`{id}` came off and never went back"),
                (missing, qty) => format!("{missing} of {qty} of `{id}` came off and never went back"),
            };
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("fit it, or say `reuse: no`, or give the part that takes its place `replaces:`"),
            );
        }
    }
}
