//! # A field stands twice
//!
//! ## What it means
//! One map has the same field twice, or one limit the same place, row or column.
//!
//! ## Why it matters
//! Only one of the two can count, and which one is not for a program to guess. Of two places with one name, nobody
//! can tell whose reading is whose.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head-bolts:
//!     torque: 24 N·m
//!     torque: 34 N·m
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head-bolts:
//!     torque: 24 N·m
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL005",
    name: "repeated-field",
    severity: Severity::Error,
    page: include_str!("repeated_field.rs"),
};

pub fn finding(span: Span, field: &str, first: Span) -> Finding {
    Finding::new(&RULE, span, format!("`{field}` stands here a second time"))
        .also(first, "first here")
        .help("keep one of them")
}
