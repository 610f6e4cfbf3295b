//! # A timer started while it runs
//!
//! ## What it means
//! `[start ID]` stands where the timer has been started and not ended.
//!
//! ## Why it matters
//! Nobody can tell which start the end belongs to. Most often the `[end …]` in between is missing.
//!
//! ## Example
//! ```markdown
//! 1. Warm the bearing. [start hot-fit]
//! 2. Warm the other bearing. [start hot-fit]
//! 3. Hold both until they grip. [end hot-fit]
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Warm the bearing. [start hot-fit]
//! 2. Hold it until it grips. [end hot-fit]
//! 3. Warm the other bearing. [start hot-fit]
//! 4. Hold it until it grips. [end hot-fit]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL421",
    name: "timer-started-twice",
    severity: Severity::Error,
    page: include_str!("timer_started_twice.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::StartedTwice { timer } = &fault.wrong {
            let id = &walked.set.catalogue.timers.get(*timer).id.text;
            let message = format!("`{id}` is started, but it runs already");
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help(format!("end it before with `[end {id}]`, or declare a second timer")),
            );
        }
    }
}
