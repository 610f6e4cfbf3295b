//! # The file is not text
//!
//! ## What it means
//! A Markdown or YAML file holds bytes that are not UTF-8.
//!
//! ## Why it matters
//! What stands after the first bad byte can't be read, and a step that can't be read would be missing from the card.

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL002",
    name: "not-text",
    severity: Severity::Error,
    page: include_str!("not_text.rs"),
};

pub fn finding(span: Span) -> Finding {
    Finding::new(&RULE, span, "the file is not UTF-8 text from here on").help("save the file as UTF-8")
}
