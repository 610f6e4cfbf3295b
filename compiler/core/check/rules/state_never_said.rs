//! # A state that nobody has said
//!
//! ## What it means
//! A state is needed before anything sets it, and its entry has no `start`.
//!
//! ## Why it matters
//! Nobody knows how the machine stands when the step is done.
//!
//! ## Example
//! ```yaml
//! states:
//!   lever: {values: [neutral, float]}
//!
//! 1. Start up. [need lever=neutral]
//! ```
//!
//! ## Instead
//! ```yaml
//! states:
//!   lever: {values: [neutral, float], start: neutral}
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL442",
    name: "state-never-said",
    severity: Severity::Error,
    page: include_str!("state_never_said.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::StateUnknown { state } = &fault.wrong {
            let message = format!("nothing says how `{}` is by then", walked.id(state.entity()));
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("give its entry `start`, or set it before"),
            );
        }
    }
}
