//! # A unit of the wrong dimension
//!
//! ## What it means
//! The unit measures something else than this field holds: a length where a torque belongs.
//!
//! ## Why it matters
//! The figure was meant for another field, or the unit is misread: `lb·ft` of torque is not `lb` of mass.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover-screws: {torque: 12 mm}
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
    code: "BL203",
    name: "wrong-dimension",
    severity: Severity::Error,
    page: include_str!("wrong_dimension.rs"),
};

pub fn finding(span: Span, error: &ValueError) -> Finding {
    Finding::new(&RULE, span, error.message()).help(error.help())
}
