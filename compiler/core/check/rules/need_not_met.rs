//! # A need that isn't met
//!
//! ## What it means
//! `[need STATE=VALUE]` asserts that a state has a value, and here it has another. The finding names the choices that bring this about; if it
//! names none, no path meets the need.
//!
//! ## Why it matters
//! The step relies on something that the steps before it don't bring about.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! states: {valve: {values: [open, shut], start: open}}
//! ---
//!
//! 1. Take out the filter. [need valve=shut]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! states: {valve: {values: [open, shut], start: open}}
//! ---
//!
//! 1. Close the valve. [set valve=shut]
//! 2. Take out the filter. [need valve=shut]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL413",
    name: "need-not-met",
    severity: Severity::Error,
    page: include_str!("need_not_met.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NeedNotMet { state, is, needs } = &fault.wrong {
            let (is, needs) = (walked.state(*state, *is), walked.state(*state, *needs));
            let message = format!("this step needs `{needs}`, but here it is `{is}`");
            findings.push(walked.tell(&RULE, fault, &message).help(format!(
                "bring about `{needs}` before, and mark it with `[set {needs}]`"
            )));
        }
    }
}
