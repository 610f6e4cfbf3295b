//! # The front matter has no end
//!
//! ## What it means
//! The file starts with a `---` line, and no later line is `---`.
//!
//! ## Why it matters
//! Without its end, the procedure's steps would be read as YAML.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip the pump
//!
//! 1. Undo the screws.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip the pump
//! ---
//!
//! 1. Undo the screws.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL003",
    name: "open-front-matter",
    severity: Severity::Error,
    page: include_str!("open_front_matter.rs"),
};

/// `meant` is a line that was most likely meant to end it.
pub fn finding(span: Span, meant: Option<Span>) -> Finding {
    match meant {
        Some(meant) => Finding::new(&RULE, meant, "this line doesn't end the front matter")
            .also(span, "which begins here")
            .replace(meant, "---", "write three hyphens at the left edge"),
        None => {
            Finding::new(&RULE, span, "this front matter has no end").help("write a line `---` after the last field")
        }
    }
}
