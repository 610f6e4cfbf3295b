//! # A calculation without its readings
//!
//! ## What it means
//! A figure is worked out on a way on which one of its readings has not been taken by then.
//!
//! ## Why it matters
//! It is worked out of nothing, or of last time’s sheet.
//!
//! ## Example
//! ```yaml
//! limits:
//!   gap: {limit: max 0.4 mm, calc: bore - size}
//!
//! 1. Measure the [measure size]. [only scope=all]
//! 2. Work out the [measure gap].
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Measure the [measure size].
//! 2. Work out the [measure gap].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL459",
    name: "reading-not-taken",
    severity: Severity::Error,
    page: include_str!("reading_not_taken.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NotRead { calc, reading } = &fault.wrong {
            let message = format!(
                "`{}` is worked out, and `{}` has not been measured by then",
                walked.id(calc.entity()),
                walked.id(reading.entity())
            );
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("measure it on every way that comes here"),
            );
        }
    }
}
