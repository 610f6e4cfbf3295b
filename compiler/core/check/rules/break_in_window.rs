//! # A phase or card ends inside a window
//!
//! ## What it means
//! A window is started in one phase or card and still runs when the next one begins.
//!
//! ## Why it matters
//! The end of a phase is where people look up, fetch the next tool or go home.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! timers: {open: {what: the sealant is open, within: 20 min}}
//! ---
//!
//! ## Seal
//!
//! 1. Roll on the sealant. [start open] [time 3 min]
//!
//! ## Close
//!
//! 1. Set on the cover. [end open] [time 2 min]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! timers: {open: {what: the sealant is open, within: 20 min}}
//! ---
//!
//! ## Seal and close
//!
//! 1. Roll on the sealant. [start open] [time 3 min]
//! 2. Set on the cover. [end open] [time 2 min]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL426",
    name: "break-in-window",
    severity: Severity::Warning,
    page: include_str!("break_in_window.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::BreakInWindow { timer, card } = &fault.wrong {
            let timer = &walked.set.catalogue.timers.get(*timer).id.text;
            let what = if *card { "card" } else { "phase" };
            let message = format!("the window `{timer}` still runs when this {what} begins");
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("keep the window inside one phase"),
            );
        }
    }
}
