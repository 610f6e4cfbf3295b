//! # Parts that are in each other's way all round
//!
//! ## What it means
//! Following `covers` or `contains` from a part leads back to the same part.
//!
//! ## Why it matters
//! Neither can come off first, or each lies in the other: the registers say something that no machine is.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover, covers: [gear]}
//!   gear: {name: gear, covers: [cover]}
//!   cap: {name: cap, contains: [lid]}
//!   lid: {name: lid, contains: [cap]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Look at [use cover], [use gear], [use cap] and [use lid].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover, covers: [gear]}
//!   gear: {name: gear}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Look at [use cover] and [use gear].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL121",
    name: "circle-of-parts",
    severity: Severity::Error,
    page: include_str!("circle_of_parts.rs"),
};

/// The places of the fields round the circle, each with the id whose entry it stands in.
pub fn finding(field: &str, places: &[(Span, String)]) -> Option<Finding> {
    let ((first, _), rest) = places.split_first()?;
    let path: Vec<&str> = places.iter().map(|(_, id)| id.as_str()).collect();
    let start = path.first().copied().unwrap_or_default();
    let message = format!("`{field}` leads round in a circle: {} → {start}", path.join(" → "));
    let finding = Finding::new(&RULE, *first, message);
    let finding = rest.iter().fold(finding, |finding, (span, id)| {
        finding.also(*span, format!("`{id}` goes on here"))
    });
    Some(finding.help("take one of them away"))
}
