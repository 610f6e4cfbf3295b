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
//! states:
//!   motor: {values: [still, running], start: still, unsafe: [running]}
//!
//! 1. Start it. [set motor=running]
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Start it. [set motor=running]
//! 2. Stop it. [set motor=still]
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
