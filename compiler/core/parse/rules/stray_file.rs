//! # A file that nobody reads
//!
//! ## What it means
//! A file below a set has a name under which it is not read: a procedure's file ends in `.md`, the set's own is `set.yaml`, a shop's
//! is `workshop.yaml`, all in small letters. What is known to be none of a set's (notes, pictures, tables, drawings) is left alone;
//! `check --files` lists every file and what it is taken for.
//!
//! ## Why it matters
//! Its cards, or all that its registers say, would be missing, and nobody would be told.
//!
//! ## Example
//! ```markdown 10-strip.MD
//! ---
//! title: Strip
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

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL050",
    name: "stray-file",
    severity: Severity::Error,
    page: include_str!("stray_file.rs"),
};

/// A file with the wrong name; `wanted` is the right one.
pub fn renamed(span: Span, name: &str, wanted: &str) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!("`{name}` is not read: its name must be `{wanted}`"),
    )
    .help(format!("call it `{wanted}`"))
}

/// YAML that has the fields of a set or shop.
pub fn yaml(span: Span, name: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{name}` is not read, and it has fields of a set")).help(
        "put what it holds into `set.yaml` or `workshop.yaml`, or into the front matter of a procedure; a job record begins with `log:`",
    )
}
