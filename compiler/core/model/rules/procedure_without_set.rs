//! # A procedure outside a set
//!
//! ## What it means
//! No folder at or above the file holds a `set.yaml`.
//!
//! ## Why it matters
//! The card would not know what machine it is for.
//!
//! ## Example
//! ```markdown notes/10-strip.md
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the cover.
//! ```
//!
//! ## Instead
//! ```markdown notes/10-strip.md
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the cover.
//! ```
//! ```yaml notes/set.yaml
//! machine: Invented pump
//! title: Rebuild
//!
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL112",
    name: "procedure-without-set",
    severity: Severity::Error,
    page: include_str!("procedure_without_set.rs"),
};

pub fn finding(span: Span) -> Finding {
    Finding::new(&RULE, span, "this procedure belongs to no set")
        .help("put a `set.yaml` with `machine` and `title` into its folder")
}
