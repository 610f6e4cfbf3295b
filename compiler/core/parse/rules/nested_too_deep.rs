//! # Nested deeper than sub-steps
//!
//! ## What it means
//! A list inside a sub-step.
//!
//! ## Why it matters
//! Phase, step and sub-step are the three levels a person at a bench can keep a place in (DOE-STD-1029 asks for no more; from memory).
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Strip the head.
//!    1. Take off the cover.
//!       1. Undo the screws.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Take off the cover.
//!    1. Undo the screws.
//!    2. Lift the cover.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL026",
    name: "nested-too-deep",
    severity: Severity::Error,
    page: include_str!("nested_too_deep.rs"),
};

pub fn finding(span: Span) -> Finding {
    Finding::new(&RULE, span, "this list is nested deeper than sub-steps")
        .help("make its items sub-steps, or their parent a step")
}
