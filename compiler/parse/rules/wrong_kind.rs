//! # Not the kind of value that belongs here
//!
//! ## What it means
//! A field holds a list where one value belongs, text where a number belongs, or the like.
//!
//! ## Why it matters
//! The value can't be used, and leaving it out would change the work.
//!
//! ## Example
//! ```yaml
//! parts:
//!   gasket: {qty: some}
//! ```
//!
//! ## Instead
//! ```yaml
//! parts:
//!   gasket: {qty: 2}
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL006",
    name: "wrong-kind",
    severity: Severity::Error,
    page: include_str!("wrong_kind.rs"),
};

/// `field` names what was read, `wanted` what belongs there, with its article.
pub fn finding(span: Span, field: &str, wanted: &str) -> Finding {
    Finding::new(&RULE, span, format!("{field} must be {wanted}")).help(format!("write {wanted}"))
}
