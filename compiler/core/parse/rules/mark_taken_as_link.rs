//! # A mark that Markdown reads as a link
//!
//! ## What it means
//! A mark right before `(` or, at the head of a line, before `:` is a link or a link's target to every Markdown reader.
//!
//! ## Why it matters
//! The mark would vanish from the step. A link whose text merely starts with a verb, `[see the manual](manual.html)`, is left alone if
//! it has an address and could be no mark.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! torques: {head-bolts: {torque: 24 N·m, lubrication: dry}}
//! ---
//!
//! 1. Run in the [snug head-bolts].
//! 2. Tighten the [torque head-bolts](twice).
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! torques: {head-bolts: {torque: 24 N·m, lubrication: dry}}
//! ---
//!
//! 1. Run in the [snug head-bolts].
//! 2. Tighten the [torque head-bolts] (twice).
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL023",
    name: "mark-taken-as-link",
    severity: Severity::Error,
    page: include_str!("mark_taken_as_link.rs"),
};

pub fn finding(span: Span, inner: &str) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!("Markdown reads `[{}]` as a link here", inner.trim()),
    )
    .help("put a space between the mark and the `(` or `:` after it")
}
