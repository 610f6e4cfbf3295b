//! # A line that Markdown keeps for itself
//!
//! ## What it means
//! A line such as `[word]: address` tells Markdown where a link leads. No link uses this one.
//!
//! ## Why it matters
//! Such a line is printed nowhere. If it was meant as words, they are lost.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! [Note]: Heavy
//!
//! 1. Lift off the cover.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! > [!NOTE] Heavy
//!
//! 1. Lift off the cover.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL048",
    name: "unused-definition",
    severity: Severity::Error,
    page: include_str!("unused_definition.rs"),
};

pub fn finding(span: Span, label: &str) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!(
            "Markdown takes this line for the address of a link `[{label}]`, of which there is none, and prints nothing"
        ),
    )
    .help("write the words without the brackets, or delete the line")
}
