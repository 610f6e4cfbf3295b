//! # An empty step
//!
//! ## What it means
//! An item of a list, a step or a sub-step, has no words.
//!
//! ## Why it matters
//! It would print as a number and a box with nothing to do beside them. Most often its words were lost, or are still to be written.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Drain the oil.
//! 2.
//! 3. Undo the head.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Drain the oil.
//! 2. Undo the head.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL029",
    name: "empty-step",
    severity: Severity::Error,
    page: include_str!("empty_step.rs"),
};

pub fn finding(span: Span) -> Finding {
    Finding::new(&RULE, span, "this step is empty").help("write what to do, or delete the item")
}
