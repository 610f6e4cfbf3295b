//! # Not a date
//!
//! ## What it means
//! A date that isn't a day of the calendar written as ISO 8601 has it: year, month, day.
//!
//! ## Why it matters
//! The date on a card tells which of two laminated copies is the newer.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! date: 3/4/26
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! date: 2026-04-03
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL009",
    name: "bad-date",
    severity: Severity::Error,
    page: include_str!("bad_date.rs"),
};

pub fn finding(span: Span, text: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{text}` is not a date")).help("write year-month-day, such as `2026-04-03`")
}
