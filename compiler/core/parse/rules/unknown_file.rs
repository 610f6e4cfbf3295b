//! # A file of an unknown kind
//!
//! ## What it means
//! A file below a set is of a kind that a set neither has nor is known to have beside it. `check --files` lists every file and what it is
//! taken for.
//!
//! ## Why it matters
//! It is not read. If it was meant to be, what it says is missing.
//!
//! ## Example
//! ```markdown 10-strip.md
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the cover.
//! ```
//! ```text strip.doku
//! The steps of the strip.
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
//! ```text strip.txt
//! Notes on the strip.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL052",
    name: "unknown-file",
    severity: Severity::Advice,
    page: include_str!("unknown_file.rs"),
};

/// `set` is where the set is told of in which it lies.
pub fn finding(set: Span, name: &str) -> Finding {
    Finding::new(
        &RULE,
        set,
        format!("`{name}` lies below this set, is of no kind that a set has, and is not read"),
    )
    .help("take it out of the set's folder, or tell git to ignore it")
}
