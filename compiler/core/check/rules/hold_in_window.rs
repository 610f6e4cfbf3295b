//! # A hold point inside a window
//!
//! ## What it means
//! A `[hold …]` stands between the start and the end of a window.
//!
//! ## Why it matters
//! A hold waits for somebody, and nobody knows how long; the window runs on.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! timers: {open: {what: the sealant is open, within: 20 min}}
//! holds: {seen: {what: the face is clean}}
//! ---
//!
//! 1. Roll on the sealant. [start open] [time 3 min]
//! 2. Stop until the face has been seen. [hold seen] [time 1 min]
//! 3. Set on the cover. [end open] [time 2 min]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! timers: {open: {what: the sealant is open, within: 20 min}}
//! holds: {seen: {what: the face is clean}}
//! ---
//!
//! 1. Stop until the face has been seen. [hold seen]
//! 2. Roll on the sealant. [start open] [time 3 min]
//! 3. Set on the cover. [end open] [time 2 min]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL425",
    name: "hold-in-window",
    severity: Severity::Warning,
    page: include_str!("hold_in_window.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::HoldInWindow { timer, hold } = &fault.wrong {
            let timer = &walked.set.catalogue.timers.get(*timer).id.text;
            let hold = &walked.set.catalogue.holds.get(*hold).id.text;
            let message = format!("work stops here for the hold point `{hold}`, and the time of `{timer}` runs");
            let help = format!("put the hold point before `[start {timer}]`, or behind `[end {timer}]`");
            findings.push(walked.tell(&RULE, fault, &message).help(help));
        }
    }
}
