//! # A second act in one step
//!
//! ## What it means
//! A sentence of a step says what to do and, behind "then", what to do after it.
//!
//! ## Why it matters
//! There is one box, and it is ticked after the first. NUREG-0899 asks for one action in a step: what stands behind "then" gets missed.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Lift off the lid, then wipe its seat.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Lift off the lid.
//! 2. Wipe the seat of the lid.
//! ```

use crate::check::sentences::of;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL716",
    name: "two-acts",
    severity: Severity::Advice,
    page: include_str!("two_acts.rs"),
};

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    for sentence in of(set).into_iter().filter(|sentence| !sentence.begins_with_condition()) {
        let then = (1..sentence.words.len()).find(|at| {
            let before = sentence.words.get(at - 1).map_or("", String::as_str);
            sentence.bare(*at) == "then" && (before.ends_with([',', ';']) || sentence.bare(at - 1) == "and")
        });
        if then.is_some() {
            let message = "what stands behind \"then\" has no box of its own";
            findings.push(Finding::new(&RULE, sentence.span, message).help("make it a step or a sub-step"));
        }
    }
}
