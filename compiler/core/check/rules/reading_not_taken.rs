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
//! machine: Invented pump
//! title: Rebuild
//! options: {scope: {values: [all, part], default: all}}
//! limits:
//!   bore: {limit: 30 H7}
//!   size: {limit: 30 k6}
//!   gap: {limit: max 0.4 mm, calc: bore - size}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Measure the [measure bore].
//! 2. Measure the [measure size]. [only scope=all]
//! 3. Work out the [measure gap].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! options: {scope: {values: [all, part], default: all}}
//! limits:
//!   bore: {limit: 30 H7}
//!   size: {limit: 30 k6}
//!   gap: {limit: max 0.4 mm, calc: bore - size}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Measure the [measure bore]. [only scope=all]
//! 2. Measure the [measure size]. [only scope=all]
//! 3. Work out the [measure gap]. [only scope=all]
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
            // A reading that is taken further down is told by its own rule.
            if walked.late.contains(&fault.at) {
                continue;
            }
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
