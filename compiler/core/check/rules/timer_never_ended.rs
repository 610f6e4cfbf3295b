//! # A timer that never ends
//!
//! ## What it means
//! `[start ID]` is not followed by `[end ID]` before the set ends.
//!
//! ## Why it matters
//! A window nobody closes can't be kept, and a wait nobody ends is service before the cure is up.
//!
//! ## Example
//! ```markdown
//! 1. Close the joint and write down the time. [start cure]
//! 2. Fill in the oil.
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Close the joint and write down the time. [start cure]
//! 2. Wait until the cure is up. [end cure]
//! 3. Fill in the oil.
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL423",
    name: "timer-never-ended",
    severity: Severity::Error,
    page: include_str!("timer_never_ended.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NeverEnded { timer } = &fault.wrong {
            let id = &walked.set.catalogue.timers.get(*timer).id.text;
            let message = format!("`{id}` is started here and never ended");
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help(format!("mark the step where it is over with `[end {id}]`")),
            );
        }
    }
}
