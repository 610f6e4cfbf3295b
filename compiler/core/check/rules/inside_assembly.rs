//! # Work inside an assembly that is on
//!
//! ## What it means
//! Something that an assembly contains is fitted, removed, loosened, tightened or measured while the assembly is on.
//!
//! ## Why it matters
//! It is worked on at the bench; on the machine nobody can, or nobody sees what they do.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cap: {name: cap, contains: [seal, bore]}
//!   seal: {name: seal, renew: yes}
//! limits:
//!   bore: {limit: max 2 mm}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Drive out the [remove seal].
//! 2. Measure the [measure bore].
//! 3. Draw off the [remove cap].
//! 4. Drive in the [fit seal].
//! 5. Push on the [fit cap].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cap: {name: cap, contains: [seal, bore]}
//!   seal: {name: seal, renew: yes}
//! limits:
//!   bore: {limit: max 2 mm}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Draw off the [remove cap].
//! 2. Drive out the [remove seal].
//! 3. Measure the [measure bore].
//! 4. Drive in the [fit seal].
//! 5. Push on the [fit cap].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL440",
    name: "inside-assembly",
    severity: Severity::Error,
    page: include_str!("inside_assembly.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::Inside { thing, assembly } = &fault.wrong {
            let message = format!(
                "`{}` is worked on while `{}` is on",
                walked.id(*thing),
                walked.part(*assembly)
            );
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("take that off first, or do this before it goes on"),
            );
        }
    }
}
