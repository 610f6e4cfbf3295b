//! # A number without a unit
//!
//! ## What it means
//! A figure stands alone where a quantity belongs.
//!
//! ## Why it matters
//! Twelve what? Newton metres and pound-force feet differ by a third, pound-force inches by a factor of nine.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover-screws: {torque: 12}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover-screws: {torque: 12 N·m}
//! ```

use crate::domain::quantity::ValueError;
use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL201",
    name: "missing-unit",
    severity: Severity::Error,
    page: include_str!("missing_unit.rs"),
};

pub fn finding(span: Span, error: &ValueError) -> Finding {
    Finding::new(&RULE, span, error.message()).help(error.help())
}
