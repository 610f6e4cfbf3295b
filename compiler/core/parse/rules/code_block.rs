//! # Text that Markdown takes for code
//!
//! ## What it means
//! Lines that are indented by four spaces or more after an empty line are a code block to Markdown, and so is what stands between lines of
//! three backticks. A code block that is indented, or that holds a step, a heading, a message or a mark, was hardly meant as one.
//!
//! ## Why it matters
//! Code is printed as it is typed: without number, box, panel or figure, and nothing in it is checked.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the screws.
//!
//! # Cover
//!
//!     1. Lift off the cover.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the screws.
//!
//! # Cover
//!
//! 1. Lift off the cover.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL044",
    name: "code-block",
    severity: Severity::Error,
    page: include_str!("code_block.rs"),
};

/// `what` is what the block looks like, with its article.
pub fn indented(span: Span, what: &str) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!("{what} that is indented so far is code to Markdown, and prints as it is typed"),
    )
    .help("take the indent out: steps start at the left edge, what belongs to a step below its first word")
}

/// The same between backticks.
pub fn fenced(span: Span, what: &str) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!("{what} in a code block prints as it is typed and is not checked"),
    )
    .help("take out the lines of backticks (or tildes) round it")
}
