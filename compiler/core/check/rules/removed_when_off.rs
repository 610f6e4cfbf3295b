//! # Taken off though it isn't on
//!
//! ## What it means
//! A part or temporary item comes off, and it is off already, was never fitted, or fewer are on than come off.
//!
//! ## Why it matters
//! The step can't be done as written: something was taken off earlier than the author thinks, or the step that fits it is missing.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! temporary: {plug: port plug}
//! ---
//!
//! 1. Take out the [remove plug].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! temporary: {plug: port plug}
//! ---
//!
//! 1. Push the [fit plug] into the port.
//! 2. Join the pipe.
//! 3. Take out the [remove plug].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL403",
    name: "removed-when-off",
    severity: Severity::Error,
    page: include_str!("removed_when_off.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::RemovedOff { item, on, asked } = &fault.wrong {
            let id = walked.item(*item);
            let message = match (on, asked) {
                (0, 1) => format!("`{id}` is taken off, but it isn't on"),
                (0, _) => format!("{asked} of `{id}` are taken off, but none is on"),
                _ => format!("{asked} of `{id}` are taken off, but only {on} are on"),
            };
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("fit it first, or correct the count"),
            );
        }
    }
}
