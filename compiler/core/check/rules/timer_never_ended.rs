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
//! ---
//! title: Example
//! timers: {soak: {what: the joint soaks, at-least: 10 min}}
//! ---
//!
//! 1. Drip oil on the joint. [start soak]
//! 2. Undo the joint.
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
    code: "BL423",
    name: "timer-never-ended",
    severity: Severity::Error,
    page: include_str!("timer_never_ended.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NeverEnded { timer } = &fault.wrong {
            // Told once, at an end beside it that ends nothing.
            let beside = walked.ends_where_it_starts(*timer, fault.at);
            let idle = Wrong::NotStarted { timer: *timer };
            if beside.is_some_and(|end| walked.ledger.faults.iter().any(|f| f.wrong == idle && f.at == end)) {
                continue;
            }
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
