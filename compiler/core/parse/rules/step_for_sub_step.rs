//! # A step that looks like a sub-step
//!
//! ## What it means
//! A numbered item stands further in than the first of its list and begins at 1 again, but not so far in that Markdown takes it for an item
//! of the step above: it has to stand under that step's words.
//!
//! ## Why it matters
//! It prints as a step of its own, with a number of its own, and every step after it counts on from there.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Take off the cover:
//!   1. Undo the screws.
//!   2. Lift the cover.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Take off the cover:
//!    1. Undo the screws.
//!    2. Lift the cover.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL030",
    name: "step-for-sub-step",
    severity: Severity::Warning,
    page: include_str!("step_for_sub_step.rs"),
};

pub fn finding(span: Span) -> Finding {
    Finding::new(&RULE, span, "this reads as a step of its own")
        .help("indent it by three more spaces if it belongs to the step above")
}
