//! # An id stands twice at one level
//!
//! ## What it means
//! Two entries of one file have the same id, or two steps of one procedure the same label. Parts, temporary items, consumables and tools share one space of ids.
//!
//! ## Why it matters
//! A mark that names it could mean either.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   plug: {name: Oil plug}
//! temporary:
//!   plug: {name: Port plug}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   oil-plug: {name: Oil plug}
//! temporary:
//!   port-plug: {name: Port plug}
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL102",
    name: "duplicate-id",
    severity: Severity::Error,
    page: include_str!("duplicate_id.rs"),
};

pub fn finding(span: Span, id: &str, first: Span) -> Finding {
    Finding::new(&RULE, span, format!("`{id}` is declared here a second time"))
        .also(first, "first here")
        .help("give one of them another id")
}
