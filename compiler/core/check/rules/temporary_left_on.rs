//! # Temporary item still on at the end
//!
//! ## What it means
//! A lock, plug, cover or other temporary item is fitted and never taken off before the set ends.
//!
//! ## Why it matters
//! This is what wrecks a rebuild: the rag in the port, the bar through the flywheel.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! temporary: {plug: port plug}
//! ---
//!
//! 1. Push the [fit plug] into the port.
//! 2. Bolt the pump to its frame.
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
//! 2. Bolt the pump to its frame.
//! 3. Take out the [remove plug].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Item;

pub static RULE: Rule = Rule {
    code: "BL404",
    name: "temporary-left-on",
    severity: Severity::Error,
    page: include_str!("temporary_left_on.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::LeftOn { item, on } = &fault.wrong {
            let id = walked.item(Item::Temporary(*item));
            let message = match (on, walked.set.catalogue.temporary[*item].qty) {
                (1, 1) => format!("`{id}` is still on when the set ends"),
                (on, qty) => format!("{on} of {qty} of `{id}` are still on when the set ends"),
            };
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("add the step that takes it off"),
            );
        }
    }
}
