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
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   gasket: {qty: some}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   gasket: {qty: 2}
//! ```

use crate::finding::listed;
use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL006",
    name: "wrong-kind",
    severity: Severity::Error,
    page: include_str!("wrong_kind.rs"),
};

/// `what` is the field, or what was read with its article; `wanted` is what belongs there, with its article.
pub fn finding(span: Span, what: &str, wanted: &str) -> Finding {
    let what = if what.contains(' ') {
        what.to_string()
    } else {
        format!("`{what}`")
    };
    Finding::new(&RULE, span, format!("{what} must be {wanted}")).help(format!("write {wanted}"))
}

/// `what`, with its article, has more than one of `fields`, of which it takes one.
pub fn too_many(span: Span, what: &str, fields: &[&str]) -> Finding {
    let fields = listed(fields, "and");
    Finding::new(
        &RULE,
        span,
        format!("{what} takes one of {fields}, and here is more than one"),
    )
    .help("keep one of them")
}
