//! # Fitted twice
//!
//! ## What it means
//! A part or temporary item goes on though as many are on already as there are. `[fit ID]` without a count fits the whole `qty`.
//!
//! ## Why it matters
//! Either a step that takes it off is missing, or the wrong id stands here. In the shop the second one comes from another machine's kit,
//! and the first stays where it is.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! temporary: {lock: isolator lock}
//! ---
//!
//! 1. Fit the [fit lock].
//! 2. Turn the isolator to OFF.
//! 3. Fit the [fit lock].
//! 4. Take off the [remove lock].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! temporary: {lock: isolator lock}
//! ---
//!
//! 1. Fit the [fit lock].
//! 2. Turn the isolator to OFF.
//! 3. Take off the [remove lock].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Item;

pub static RULE: Rule = Rule {
    code: "BL401",
    name: "fitted-twice",
    severity: Severity::Error,
    page: include_str!("fitted_twice.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::FittedTwice { item, on, asked } = &fault.wrong {
            let id = walked.item(*item);
            let qty = match *item {
                Item::Part(part) => walked.set.catalogue.parts[part].qty,
                Item::Temporary(item) => walked.set.catalogue.temporary[item].qty,
            };
            let message = match (on, qty) {
                (1, 1) => format!("`{id}` is fitted, but it is on already"),
                _ => format!("{asked} of `{id}` are fitted, but {on} of {qty} are on already"),
            };
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("take it off first, or correct its `qty` or the count here"),
            );
        }
    }
}
