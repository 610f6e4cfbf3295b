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
