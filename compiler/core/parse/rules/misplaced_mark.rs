//! # A mark outside a step
//!
//! ## What it means
//! A mark that acts (`torque`, `fit`, `set` …) stands in a heading, in prose between steps or in a safety message.
//!
//! ## Why it matters
//! Only steps have boxes. An act that stands elsewhere would be neither numbered nor ticked, and nobody could tell when it is done.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! torques: {head-bolts: {torque: 24 N·m, lubrication: dry}}
//! ---
//!
//! Tighten the [torque head-bolts] first.
//!
//! 1. Fit the cover.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! torques: {head-bolts: {torque: 24 N·m, lubrication: dry}}
//! ---
//!
//! 1. Tighten the [torque head-bolts].
//! 2. Fit the cover.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL022",
    name: "misplaced-mark",
    severity: Severity::Error,
    page: include_str!("misplaced_mark.rs"),
};

/// `place` is where it stands, with its article.
pub fn finding(span: Span, place: &str) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!("this mark stands in {place}, where nobody would tick it"),
    )
    .help("make it a step of its own, or write the words without the brackets")
}

/// A second `[each …]` of one step or heading.
pub fn second_group(span: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        "a step is done for the members of one group, and here is a second",
    )
    .help("write steps of their own for the second group")
}

/// A mark that speaks of whole steps, in a sub-step.
pub fn of_a_step(span: Span) -> Finding {
    Finding::new(&RULE, span, "this mark speaks of a whole step, and here is a sub-step")
        .help("make the sub-step a step of its own, or put the mark into the step or its heading")
}
