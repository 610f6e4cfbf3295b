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
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover, covers: [gear, size, nut]}
//!   gear: {name: gear}
//! torques:
//!   nut: {torque: 9 N·m, lubrication: dry}
//! limits:
//!   size: {limit: max 2 mm}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Draw off the [remove gear].
//! 2. Measure the [measure size].
//! 3. Undo the [loosen nut].
//! 4. Lift off the [remove cover].
//! 5. Slide on the [fit gear].
//! 6. Tighten the [torque nut].
//! 7. Set on the [fit cover].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover, covers: [gear, size, nut]}
//!   gear: {name: gear}
//! torques:
//!   nut: {torque: 9 N·m, lubrication: dry}
//! limits:
//!   size: {limit: max 2 mm}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Lift off the [remove cover].
//! 2. Draw off the [remove gear].
//! 3. Measure the [measure size].
//! 4. Slide on the [fit gear].
//! 5. Tighten the [torque nut].
//! 6. Set on the [fit cover].
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
