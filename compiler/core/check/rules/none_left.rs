//! # More new pieces than there are
//!
//! ## What it means
//! A part that is renewed goes on more often than there are new pieces of it: `qty` and `spares`, loops included.
//!
//! ## Why it matters
//! At the bench the last one is missing, and the one that just came off goes back.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   nut: {name: nut, renew: yes}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Run off the [remove nut].
//! 2. Run on the [fit nut].
//! 3. Run off the [remove nut].
//! 4. Run on another [fit nut].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   nut: {name: nut, renew: yes, spares: 1}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Run off the [remove nut].
//! 2. Run on the [fit nut].
//! 3. Run off the [remove nut].
//! 4. Run on another [fit nut].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL443",
    name: "none-left",
    severity: Severity::Error,
    page: include_str!("none_left.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NoneLeft { part } = &fault.wrong {
            let message = format!("no new piece of `{}` is left for this", walked.part(*part));
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("order more with `spares`, or take it off once less"),
            );
        }
    }
}
