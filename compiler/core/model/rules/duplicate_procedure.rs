//! # Two procedures share an id
//!
//! ## What it means
//! Two files of one set come to the same id.
//!
//! ## Why it matters
//! `after` and `see` could mean either, and the second card would overwrite the first.
//!
//! ## Example
//! ```markdown 10-strip.md
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the cover.
//! ```
//! ```markdown 30-strip.md
//! ---
//! title: Strip again
//! ---
//!
//! 1. Undo the cover.
//! ```
//!
//! ## Instead
//! ```markdown 10-strip.md
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the cover.
//! ```
//! ```markdown 30-strip-pump.md
//! ---
//! title: Strip the pump
//! ---
//!
//! 1. Undo the cover.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL111",
    name: "duplicate-procedure",
    severity: Severity::Error,
    page: include_str!("duplicate_procedure.rs"),
};

pub fn finding(span: Span, id: &str, first: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!("another procedure of this set is called `{id}` too"),
    )
    .also(first, "the other one")
    .help("rename the file, or write `id:` into its front matter")
}
