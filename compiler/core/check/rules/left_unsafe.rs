//! # A card that ends as nobody should leave it
//!
//! ## What it means
//! At the end of a card, or at a `[stop]`, a state is at a value that is `unsafe`, or a temporary item with `unsafe: yes` is on.
//!
//! ## Why it matters
//! Whoever comes next finds something running, hot, hanging or under load.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! states:
//!   motor: {values: [still, running], start: still, unsafe: [running]}
//! temporary:
//!   sling: {name: sling, unsafe: yes}
//! ```
//! ```markdown 10-job.md
//! ---
//! title: Job
//! ---
//!
//! 1. Start it. [set motor=running]
//! 2. Lay round the [fit sling].
//! ```
//! ```markdown 20-rest.md
//! ---
//! title: Rest
//! after: [job]
//! ---
//!
//! 1. Stop it. [set motor=still]
//! 2. Take off the [remove sling].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! states:
//!   motor: {values: [still, running], start: still, unsafe: [running]}
//! temporary:
//!   sling: {name: sling, unsafe: yes}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Start it. [set motor=running]
//! 2. Lay round the [fit sling].
//! 3. Stop it. [set motor=still]
//! 4. Take off the [remove sling].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::handle;

pub static RULE: Rule = Rule {
    code: "BL450",
    name: "left-unsafe",
    severity: Severity::Error,
    page: include_str!("left_unsafe.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::Perilous { thing, value } = &fault.wrong {
            let how = match (value, handle(*thing)) {
                (Some(value), Some(state)) => walked.state(state, *value),
                _ => walked.id(*thing).to_string(),
            };
            let message = format!("the card ends with `{how}`");
            findings.push(walked.tell(&RULE, fault, &message).help("end it on the same card"));
        }
    }
}
