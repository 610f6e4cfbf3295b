//! # A range that nothing lies in
//!
//! ## What it means
//! The low end of a range is above its high end.
//!
//! ## Why it matters
//! No part could pass, so the two ends were swapped or one is mistyped.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   bore: {limit: 55.02..55.00 mm}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   bore: {limit: 55.00..55.02 mm}
//! ```

use crate::domain::quantity::ValueError;
use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL205",
    name: "empty-range",
    severity: Severity::Error,
    page: include_str!("empty_range.rs"),
};

pub fn finding(span: Span, error: &ValueError) -> Finding {
    Finding::new(&RULE, span, error.message()).help(error.help())
}
