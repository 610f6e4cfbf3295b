//! # A pattern that can't be drawn
//!
//! ## What it means
//! Positions on one spot, no positions, an order that leaves one out or names one twice, or passes that don't rise to 100 %.
//!
//! ## Why it matters
//! A drawing that shows seven numbers on eight bolts sends a wrench round with one bolt forgotten.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! patterns:
//!   head: {circle: {count: 8, diameter: 90 mm}, order: [1, 5, 3, 7, 2, 6, 4]}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! patterns:
//!   head: {circle: {count: 8, diameter: 90 mm}, order: [1, 5, 3, 7, 2, 6, 4, 8]}
//! ```

use crate::domain::pattern::PatternFault;
use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL207",
    name: "impossible-pattern",
    severity: Severity::Error,
    page: include_str!("impossible_pattern.rs"),
};

pub fn finding(span: Span, fault: &PatternFault) -> Finding {
    Finding::new(&RULE, span, fault.to_string()).help("give every position once, and passes that rise to 100 %")
}
