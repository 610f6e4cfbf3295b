//! # A file that is too long
//!
//! ## What it means
//! A Markdown or YAML file is longer than 64 MiB.
//!
//! ## Why it matters
//! What stands past that is not read, so it would be missing from the card. No procedure is a hundredth as long: most likely
//! something else was saved under this name.

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL051",
    name: "file-too-long",
    severity: Severity::Error,
    page: include_str!("file_too_long.rs"),
};

pub fn finding(span: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        "the file is longer than 64 MiB, and is read up to there only",
    )
    .help("split it, or save the right text under this name")
}
