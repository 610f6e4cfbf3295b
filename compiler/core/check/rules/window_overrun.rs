//! # The work takes longer than the window
//!
//! ## What it means
//! The times of the steps from the `[start …]` of a window to its `[end …]`, both steps counted in full, add up to more than its `within`.
//! A wait that starts and ends inside counts with its length, from the end of the step that starts it; so does a cure that is waited for
//! inside by `[wait …]`, from the end of the step inside that closes the joint (of what is used on no joint, that uses it). What cured
//! before the window began counts nothing. Steps without `[time …]` count nothing.
//!
//! ## Why it matters
//! The sealant has skinned over before the cover is on, every time.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! timers: {open: {what: the sealant is open, within: 10 min}}
//! torques: {cover-bolts: {torque: 9 N·m, lubrication: dry}}
//! ---
//!
//! 1. Roll on the sealant. [start open] [time 3 min]
//! 2. Set on the cover. [time 2 min]
//! 3. Tighten the [torque cover-bolts]. [end open] [time 6 min]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! timers: {open: {what: the sealant is open, within: 10 min}}
//! torques: {cover-bolts: {torque: 9 N·m, lubrication: dry}}
//! ---
//!
//! 1. Lay out the cover and its bolts. [time 3 min]
//! 2. Roll on the sealant. [start open] [time 3 min]
//! 3. Set on the cover. [time 1 min]
//! 4. Tighten the [torque cover-bolts]. [end open] [time 3 min]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::registers::Span;

pub static RULE: Rule = Rule {
    code: "BL424",
    name: "window-overrun",
    severity: Severity::Error,
    page: include_str!("window_overrun.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::Overrun { timer, takes } = &fault.wrong {
            let def = walked.set.catalogue.timers.get(*timer);
            let within = match &def.value.span {
                Some(Span::Within(within)) => within.value.to_string(),
                Some(Span::AtLeast(_)) | None => continue,
            };
            let id = &def.id.text;
            let message =
                format!("the steps from `[start {id}]` to here take {takes}, and must be done within {within}");
            let help = format!("move work in front of `[start {id}]` or behind `[end {id}]`, or correct the times");
            findings.push(walked.tell(&RULE, fault, &message).help(help));
        }
    }
}
