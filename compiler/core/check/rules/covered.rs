//! # Work on what is covered
//!
//! ## What it means
//! Something is fitted, removed, loosened, tightened, measured or sealed while a part or temporary item that covers it is on.
//!
//! ## Why it matters
//! Nobody gets at it: the step is skipped, or done by force.
//!
//! ## Example
//! ```yaml
//! parts:
//!   cover: {name: cover, covers: [gear]}
//!   gear: {name: gear}
//!
//! 1. Draw off the [remove gear].
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Lift off the [remove cover].
//! 2. Draw off the [remove gear].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL439",
    name: "covered",
    severity: Severity::Error,
    page: include_str!("covered.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::Covered { thing, by } = &fault.wrong {
            let message = format!("`{}` lies under `{}`", walked.id(*thing), walked.id(*by));
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("take that off first, or do this before it goes on"),
            );
        }
    }
}
