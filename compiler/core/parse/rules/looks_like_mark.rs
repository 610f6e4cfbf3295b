//! # Text that looks like a mark
//!
//! ## What it means
//! The words of a mark stand in a code span, in other brackets than `[` and `]`, or with one of the two missing. Where a bracket is meant
//! as it stands, write `\[`.
//!
//! ## Why it matters
//! It would print as it is typed, without figure or box, and what it does would not be checked.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Close
//! torques:
//!   cover-screws: 9 N·m
//! ---
//!
//! 1. Tighten the {torque cover-screws}.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Close
//! torques:
//!   cover-screws: 9 N·m
//! ---
//!
//! 1. Tighten the [torque cover-screws].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL043",
    name: "looks-like-mark",
    severity: Severity::Error,
    page: include_str!("looks_like_mark.rs"),
};

/// A mark in a code span; `alone` is the mark if nothing else stands there.
pub fn in_code(span: Span, alone: Option<&str>) -> Finding {
    let finding = Finding::new(&RULE, span, "a mark between backticks is printed as it is typed");
    match alone {
        Some(mark) => finding.guess(span, mark, "take the backticks out"),
        None => finding.help("take the backticks out"),
    }
}

/// A mark in other brackets.
pub fn brackets(span: Span, mark: &str) -> Finding {
    Finding::new(&RULE, span, "these are not the brackets of a mark").replace(span, mark, format!("write `{mark}`"))
}

/// A mark that only ends.
pub fn unopened(span: Span, words: &str) -> Finding {
    Finding::new(&RULE, span, "this mark has no opening bracket").replace(
        span,
        format!("[{words}]"),
        format!("write `[{words}]`"),
    )
}
