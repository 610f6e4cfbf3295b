//! # A procedure without steps
//!
//! ## What it means
//! The text holds no list at its top level.
//!
//! ## Why it matters
//! A card without a step has nothing to do on it. Most often the steps were indented, or written as paragraphs.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! Undo the head.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the head.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL028",
    name: "no-steps",
    severity: Severity::Error,
    page: include_str!("no_steps.rs"),
};

pub fn finding(span: Span) -> Finding {
    Finding::new(&RULE, span, "this procedure has no steps")
        .help("write the steps as a numbered list: `1. Undo the head.`")
}
