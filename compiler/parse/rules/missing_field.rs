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
//! torques:
//!   head-bolts: {count: 8}
//! ```
//!
//! ## Instead
//! ```yaml
//! torques:
//!   head-bolts: {count: 8, torque: 24 N·m}
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL007",
    name: "missing-field",
    severity: Severity::Error,
    page: include_str!("missing_field.rs"),
};

pub fn finding(span: Span, what: &str, field: &str) -> Finding {
    Finding::new(&RULE, span, format!("{what} needs {field}")).help(format!("add {field}"))
}
