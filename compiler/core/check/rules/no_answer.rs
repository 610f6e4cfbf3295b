//! # A question about a reading that has not been taken
//!
//! ## What it means
//! `[if LIMIT …]` stands where nothing has measured it, other than `as-found`.
//!
//! ## Why it matters
//! The card asks what nobody knows yet.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   play: {limit: 0.1..0.3 mm}
//! parts:
//!   shims: {name: shims}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Close the job. [if play low] [stop]
//! 2. Measure the [measure play as-found].
//! 3. Close the job. [if play high] [stop]
//! 4. Take out the [remove shims].
//! 5. Lay in the [fit shims].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   play: {limit: 0.1..0.3 mm}
//! parts:
//!   shims: {name: shims}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Measure the [measure play].
//! 2. Close the job. [if play out] [stop]
//! 3. Take out the [remove shims].
//! 4. Lay in the [fit shims].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL456",
    name: "no-answer",
    severity: Severity::Error,
    page: include_str!("no_answer.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NoAnswer { limit } = &fault.wrong {
            let message = format!("`{}` has not been measured by then", walked.id(limit.entity()));
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("measure it before; a reading `as-found` answers nothing"),
            );
        }
    }
}
