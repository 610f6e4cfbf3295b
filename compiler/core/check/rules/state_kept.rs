//! # Against what keeps it
//!
//! ## What it means
//! A temporary item that `keeps` a state goes on at another value, or something sets another value while it is on.
//!
//! ## Why it matters
//! It does not go in, or something is forced against it.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! temporary:
//!   pin: {name: lock pin, keeps: {gear: in}}
//! states:
//!   gear: {values: [in, out], start: out}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Push in the [fit pin].
//! 2. Pull out the [remove pin].
//! 3. Shift in. [set gear=in]
//! 4. Push in the [fit pin].
//! 5. Shift out. [set gear=out]
//! 6. Pull out the [remove pin].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! temporary:
//!   pin: {name: lock pin, keeps: {gear: in}}
//! states:
//!   gear: {values: [in, out], start: out}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Shift in. [set gear=in]
//! 2. Push in the [fit pin].
//! 3. Pull out the [remove pin] and shift out. [set gear=out]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL449",
    name: "state-kept",
    severity: Severity::Error,
    page: include_str!("state_kept.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::Kept { item, state, is } = &fault.wrong {
            let message = format!(
                "`{}` is on with `{}`",
                walked.id(item.entity()),
                walked.state(*state, *is)
            );
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("take it off before the state changes, or put it on after"),
            );
        }
    }
}
