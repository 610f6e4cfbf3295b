//! # The file is not text
//!
//! ## What it means
//! A Markdown or YAML file holds bytes that are not UTF-8.
//!
//! ## Why it matters
//! What stands after the first bad byte can't be read, and a step that can't be read would be missing from the card.

use crate::finding::{Finding, Rule, Severity};
use crate::source::{Encoding, Span};

pub static RULE: Rule = Rule {
    code: "BL002",
    name: "not-text",
    severity: Severity::Error,
    page: include_str!("not_text.rs"),
};

/// `encoding` is what the bytes are instead, if they tell.
pub fn finding(span: Span, encoding: Option<Encoding>) -> Finding {
    match encoding {
        Some(Encoding::Utf16) => Finding::new(&RULE, span, "the file is saved as UTF-16, so nothing of it can be read")
            .help("save the file as UTF-8"),
        Some(Encoding::OneByte) => Finding::new(
            &RULE,
            span,
            "this sign is in an older encoding (such as Windows-1252), so the file can't be read from here on",
        )
        .help("save the file as UTF-8"),
        None => Finding::new(&RULE, span, "the file is not UTF-8 text from here on").help("save the file as UTF-8"),
    }
}
