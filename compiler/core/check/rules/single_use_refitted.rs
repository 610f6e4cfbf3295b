//! # A single-use part goes on again
//!
//! ## What it means
//! A part with `reuse: no` that came off is on again at the end. For a trial it may go on again and come off.
//!
//! ## Why it matters
//! A crushed gasket, a stretched bolt or a bent tab washer doesn't hold a second time. The new one needs an entry of its own, with
//! `fitted: no`, so that it is on the parts list and in the kit.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! parts: {gasket: {reuse: no}}
//! ---
//!
//! 1. Peel off the [remove gasket].
//! 2. Clean the faces.
//! 3. Lay on the [fit gasket].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! parts:
//!   old-gasket: {reuse: no}
//!   gasket: {fitted: no, reuse: no, replaces: old-gasket}
//! ---
//!
//! 1. Peel off the [remove old-gasket].
//! 2. Clean the faces.
//! 3. Lay on the [fit gasket].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Item;

pub static RULE: Rule = Rule {
    code: "BL406",
    name: "single-use-refitted",
    severity: Severity::Error,
    page: include_str!("single_use_refitted.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::Refitted { part } = &fault.wrong {
            let id = walked.item(Item::Part(*part));
            let message = format!("`{id}` is for single use, but it goes on again");
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("give the new one an entry of its own, with `fitted: no` and `replaces:`"),
            );
        }
    }
}
