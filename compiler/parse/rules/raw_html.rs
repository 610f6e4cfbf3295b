//! # HTML in a procedure
//!
//! ## What it means
//! The text holds HTML other than a comment.
//!
//! ## Why it matters
//! HTML is not printed on a card, so what it says would be lost.
//!
//! ## Example
//! ```markdown
//! 1. Drain <b>all</b> oil.
//! ```
//!
//! ## Instead
//! ```markdown
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
    Finding::new(&RULE, span, "HTML is not printed on a card")
        .help("use Markdown, or a comment `<!-- … -->` for words of your own")
}
