//! # A part that goes back without its mark
//!
//! ## What it means
//! A part with `marked: yes` goes back on, and nothing marked how it sat before it came off.
//!
//! ## Why it matters
//! It goes back another way round than it ran.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   gear: {name: gear, marked: yes}
//!   wheel: {name: wheel, marked: yes}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Slide off the [remove gear] and the [remove wheel].
//! 2. Dot the [mark wheel].
//! 3. Slide on the [fit gear] and the [fit wheel].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   gear: {name: gear, marked: yes}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Dot the [mark gear].
//! 2. Slide off the [remove gear].
//! 3. Slide on the [fit gear].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL444",
    name: "not-marked",
    severity: Severity::Error,
    page: include_str!("not_marked.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NotMarked { part } = &fault.wrong {
            let message = format!("`{}` goes back without its mark", walked.part(*part));
            findings.push(walked.tell(&RULE, fault, &message).help(format!(
                "put `[mark {}]` into a step before it comes off",
                walked.part(*part)
            )));
        }
    }
}
