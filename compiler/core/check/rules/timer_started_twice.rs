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
//! ---
//! title: Example
//! timers: {soak: {what: the joint soaks, at-least: 10 min}}
//! ---
//!
//! 1. Drip oil on the joint. [start soak]
//! 2. Drip oil on it again. [start soak]
//! 3. Undo the joint. [end soak]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! timers: {soak: {what: the joint soaks, at-least: 10 min}}
//! ---
//!
//! 1. Drip oil on the joint. [start soak]
//! 2. Wait.
//! 3. Undo the joint. [end soak]
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
