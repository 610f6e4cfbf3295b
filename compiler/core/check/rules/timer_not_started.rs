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
//! ---
//! title: Example
//! timers: {soak: {what: the joint soaks, at-least: 10 min}}
//! ---
//!
//! 1. Drip oil on the joint.
//! 2. Undo the joint. [end soak]
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
//! 2. Undo the joint. [end soak]
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
            if let Some(start) = walked.ends_where_it_starts(*timer, fault.at) {
                let message = format!("`{id}` is started and ended in one step, so nobody waits");
                let help = format!(
                    "leave `[start {id}]` in the step that the wait begins with, and write `[end {id}]` in the one that waits for it"
                );
                findings.push(
                    walked
                        .tell(&RULE, fault, &message)
                        .also(start, "started here")
                        .help(help),
                );
                continue;
            }
            let message = format!("`{id}` is ended, but it doesn't run");
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help(format!("start it before with `[start {id}]`")),
            );
        }
    }
}
