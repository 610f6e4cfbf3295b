//! # Unknown unit
//!
//! ## What it means
//! What follows the number is no unit of the unit table.
//!
//! ## Why it matters
//! A figure whose unit isn't known can't be converted, compared with a tool's range or checked against a bolt.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   end-float: {limit: max 0.05 mn}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   end-float: {limit: max 0.05 mm}
//! ```

use crate::domain::quantity::{ValueError, ValueErrorKind};
use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL202",
    name: "unknown-unit",
    severity: Severity::Error,
    page: include_str!("unknown_unit.rs"),
};

pub fn finding(span: Span, error: &ValueError) -> Finding {
    let finding = Finding::new(&RULE, span, error.message());
    match &error.kind {
        ValueErrorKind::UnknownUnit {
            suggestion: Some(unit), ..
        } if !unit.starts_with("US ") => finding.guess(span, unit.clone(), error.help()),
        _ => finding.help(error.help()),
    }
}
