//! # A way back that never ends
//!
//! ## What it means
//! `[repeat …]` leads back to a step from which nothing asks again what led back.
//!
//! ## Why it matters
//! Done as written it goes round for ever.
//!
//! ## Example
//! ```markdown
//! 1. Measure the [measure play].
//! 2. Change the shims. [label shims] [if play out] [repeat shims]
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Lay in the shims. [label shims]
//! 2. Measure the [measure play].
//! 3. Change the shims. [if play out] [repeat shims]
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
