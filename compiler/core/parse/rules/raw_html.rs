//! # HTML in a procedure
//!
//! ## What it means
//! The text holds HTML other than a comment, a comment that never ends, or words in a line that starts with a comment: to Markdown
//! the whole of that line is HTML.
//!
//! ## Why it matters
//! HTML is not printed on a card, so what it says would be lost.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Drain <b>all</b> oil.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Drain **all** oil.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL027",
    name: "raw-html",
    severity: Severity::Error,
    page: include_str!("raw_html.rs"),
};

pub fn finding(span: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        "Markdown takes this for HTML, which is not printed on a card",
    )
    .help("use Markdown; a comment `<!-- … -->` for words of your own stands in a line of its own")
}

/// A comment without its end takes in the rest of the text.
pub fn open_comment(span: Span) -> Finding {
    Finding::new(&RULE, span, "this comment has no end").help("write `-->` after its last word")
}
