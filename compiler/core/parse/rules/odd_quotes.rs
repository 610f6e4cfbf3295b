//! # Quotes that YAML doesn't know
//!
//! ## What it means
//! A value stands in the quotes of a word processor (`“…”`). To YAML they are letters like any other.
//!
//! ## Why it matters
//! The card prints them, and a figure in them can't be read.
//!
//! ## Example
//! ```markdown
//! ---
//! title: “Strip”
//! ---
//!
//! 1. Undo the screws.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the screws.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL054",
    name: "odd-quotes",
    severity: Severity::Warning,
    page: include_str!("odd_quotes.rs"),
};

pub fn finding(span: Span, change: Option<String>) -> Finding {
    let finding = Finding::new(&RULE, span, "these quotes are part of the value, and would be printed");
    match change {
        Some(with) => finding.replace(span, with, "write straight quotes, or none"),
        None => finding.help("write straight quotes, or none"),
    }
}
