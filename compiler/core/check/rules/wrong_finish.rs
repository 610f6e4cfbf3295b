//! # The set ends in the wrong state
//!
//! ## What it means
//! A state has another value at the end of the set than its `finish`.
//!
//! ## Why it matters
//! A valve left shut or a supply left locked off is handed back as done.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! states: {valve: {values: [open, shut], start: open, finish: open}}
//! ---
//!
//! 1. Close the valve. [set valve=shut]
//! 2. Change the filter.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! states: {valve: {values: [open, shut], start: open, finish: open}}
//! ---
//!
//! 1. Close the valve. [set valve=shut]
//! 2. Change the filter.
//! 3. Open the valve. [set valve=open]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL414",
    name: "wrong-finish",
    severity: Severity::Error,
    page: include_str!("wrong_finish.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::WrongFinish { state, is, finish } = &fault.wrong {
            let (is, finish) = (walked.state(*state, *is), walked.state(*state, *finish));
            let message = format!("the set ends with `{is}` and should end with `{finish}`");
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help(format!("add the step with `[set {finish}]`")),
            );
        }
    }
}
