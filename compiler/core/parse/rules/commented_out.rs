//! # A step or field that is commented out
//!
//! ## What it means
//! A comment holds what would be a step, a heading, a message, a mark or a field if it were none: `<!-- 3. Drain the oil. -->`, or
//! `# torque: 9 N·m` in YAML.
//!
//! ## Why it matters
//! A comment is not read and not printed. Most often it was put there for a trial and forgotten. Git keeps what is deleted, and
//! `[only …]` leaves a step out for a choice.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the screws.
//!
//! <!-- 2. Drain the oil. -->
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the screws.
//! 2. Drain the oil.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL047",
    name: "commented-out",
    severity: Severity::Warning,
    page: include_str!("commented_out.rs"),
};

/// `what` is what stands in the comment, with its article.
pub fn finding(span: Span, what: &str) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!("{what} is commented out here, so it is not on the card"),
    )
    .help("delete it, or take it out of the comment")
}
