//! # A timer ended that doesn't run
//!
//! ## What it means
//! `[end ID]` stands where the timer was not started, or has been ended already.
//!
//! ## Why it matters
//! A wait with no beginning is no wait.
//!
//! ## Example
//! ```markdown
//! 1. Fill in the oil. [end cure]
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Write down the time. [start cure]
//! 2. Fill in the oil. [end cure]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL422",
    name: "timer-not-started",
    severity: Severity::Error,
    page: include_str!("timer_not_started.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NotStarted { timer } = &fault.wrong {
            let id = &walked.set.catalogue.timers.get(*timer).id.text;
            let message = format!("`{id}` is ended, but it doesn't run");
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help(format!("start it before with `[start {id}]`")),
            );
        }
    }
}
