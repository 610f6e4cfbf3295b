//! # Fitted where another still is
//!
//! ## What it means
//! A part that `replaces` another goes on, and the other was not taken off; or the other way about.
//!
//! ## Why it matters
//! Two gaskets in one joint leak, and two seals in one bore don't go in. Most often the step that takes the old one off is missing.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! parts:
//!   old-gasket: {name: old gasket, reuse: no}
//!   gasket: {name: new gasket, fitted: no, reuse: no, replaces: old-gasket}
//! ---
//!
//! 1. Lay on the [fit gasket].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! parts:
//!   old-gasket: {name: old gasket, reuse: no}
//!   gasket: {name: new gasket, fitted: no, reuse: no, replaces: old-gasket}
//! ---
//!
//! 1. Peel off the [remove old-gasket].
//! 2. Lay on the [fit gasket].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Item;

pub static RULE: Rule = Rule {
    code: "BL402",
    name: "place-taken",
    severity: Severity::Error,
    page: include_str!("place_taken.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::PlaceTaken { part, by } = &fault.wrong {
            let (new, old) = (walked.item(Item::Part(*part)), walked.item(Item::Part(*by)));
            let message = format!("`{new}` is fitted, but `{old}` is still in its place");
            findings.push(walked.tell(&RULE, fault, &message).help("take off what is there first"));
        }
    }
}
