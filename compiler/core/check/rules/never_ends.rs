//! # A way back that never ends
//!
//! ## What it means
//! `[repeat …]` leads back to a step from which nothing asks again what led back.
//!
//! ## Why it matters
//! Done as written it goes round for ever.
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
//! 1. Measure the [measure play].
//! 2. Change the [remove shims] for thicker [fit shims]. [label change] [if play out] [repeat change]
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
//! 1. Measure the [measure play]. [label read]
//! 2. Change the [remove shims] for thicker [fit shims]. [if play out] [repeat read]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL457",
    name: "never-ends",
    severity: Severity::Error,
    page: include_str!("never_ends.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NeverEnds = &fault.wrong {
            let message = "this leads back, and nothing on the way asks again".to_string();
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("put the label at or before the step that measures"),
            );
        }
    }
}
