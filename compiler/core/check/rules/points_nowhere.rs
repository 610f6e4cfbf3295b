//! # A pointer to a step that is not always there
//!
//! ## What it means
//! `[step …]` or `[repeat …]` names a step that some choices leave out while the step that points at it stays.
//!
//! ## Why it matters
//! The card sends its reader to a step that it does not have.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! options: {boot: {values: [keep, renew], default: keep}}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Brush the seat. [label glue] [only boot=renew]
//! 2. Compare it with [step glue].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! options: {boot: {values: [keep, renew], default: keep}}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Brush the seat. [label glue] [only boot=renew]
//! 2. Compare it with [step glue]. [only boot=renew]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL458",
    name: "points-nowhere",
    severity: Severity::Error,
    page: include_str!("points_nowhere.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::PointsNowhere { .. } = &fault.wrong {
            let message = "this points at a step that is not there".to_string();
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("give this step the same `only`, or point at another"),
            );
        }
    }
}
