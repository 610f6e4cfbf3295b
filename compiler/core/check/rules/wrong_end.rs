//! # A part that is not as it should be at the end
//!
//! ## What it means
//! `finish: on` or `finish: off` says how a part is at the end, and it is otherwise.
//!
//! ## Why it matters
//! Something new was forgotten, or something that stays off went back.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   bracket: {name: bracket, finish: off}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Take off the [remove bracket].
//! 2. Put back the [fit bracket].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cap: {name: grease cap, fitted: no, finish: on}
//!   bracket: {name: bracket, finish: off}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Take off the [remove bracket].
//! 2. Push on the [fit cap].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL445",
    name: "wrong-end",
    severity: Severity::Error,
    page: include_str!("wrong_end.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::WrongEnd { part, on } = &fault.wrong {
            let id = walked.part(*part);
            let (message, help) = match on {
                true => (
                    format!("`{id}` is not on at the end"),
                    format!("put it on before that, `[fit {id}]`"),
                ),
                false => (
                    format!("`{id}` is not off at the end"),
                    format!("take it off before that, `[remove {id}]`"),
                ),
            };
            let help = format!("{help}, or correct its `finish:`");
            findings.push(walked.tell(&RULE, fault, &message).help(help));
        }
    }
}
