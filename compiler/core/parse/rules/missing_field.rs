//! # A required field is missing
//!
//! ## What it means
//! A procedure without a title, a torque without a figure, a timer without a time.
//!
//! ## Why it matters
//! The card would have a blank where somebody looks for a figure.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head-bolts: {count: 8}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head-bolts: {count: 8, torque: 24 N·m}
//! ```

use crate::finding::listed;
use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL007",
    name: "missing-field",
    severity: Severity::Error,
    page: include_str!("missing_field.rs"),
};

/// `what`, with its article, has none of `fields`, of which it needs one.
pub fn finding(span: Span, what: &str, fields: &[&str]) -> Finding {
    let fields = listed(fields, "or");
    Finding::new(&RULE, span, format!("{what} needs {fields}")).help(format!("add {fields}"))
}
