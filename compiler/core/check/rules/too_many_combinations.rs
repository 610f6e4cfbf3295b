//! # Too many combinations to check
//!
//! ## What it means
//! So many options bear on one thing, each in its own way, that not every combination could be followed. The rules of the ledger say nothing
//! about this one thing; everything else is checked.
//!
//! ## Why it matters
//! What isn't checked may be wrong. In a real set this takes some twenty options that each change the length of the same window.
//!
//! ## Example
//! ```markdown
//! timers: {open: {within: 20 min}}
//!
//! 1. Roll on the sealant. [start open]
//! 2. Set the first dowel. [only a=yes] [time 1 s]
//! 3. Set the second dowel. [only b=yes] [time 2 s]
//! 4. And so on with the other twenty. [end open]
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Set the dowels.
//! 2. Roll on the sealant. [start open]
//! 3. Set on the cover. [end open]
//! ```

use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL435",
    name: "too-many-combinations",
    severity: Severity::Advice,
    page: include_str!("too_many_combinations.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for (span, id) in &walked.ledger.unchecked {
        let message = format!("too many combinations of choices bear on `{id}` to check them all");
        findings.push(Finding::new(&RULE, *span, message).help("let fewer options touch it"));
    }
}
