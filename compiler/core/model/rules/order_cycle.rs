//! # Procedures that wait for each other
//!
//! ## What it means
//! Following `after` leads back to where it started.
//!
//! ## Why it matters
//! No order of the cards is right, so none can be printed as card 1.
//!
//! ## Example
//! ```markdown 10-strip.md
//! ---
//! title: Strip
//! after: [close]
//! ---
//!
//! 1. Undo the cover.
//! ```
//! ```markdown 20-close.md
//! ---
//! title: Close
//! after: [strip]
//! ---
//!
//! 1. Put the cover on.
//! ```
//!
//! ## Instead
//! ```markdown 10-strip.md
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the cover.
//! ```
//! ```markdown 20-close.md
//! ---
//! title: Close
//! after: [strip]
//! ---
//!
//! 1. Put the cover on.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL107",
    name: "order-cycle",
    severity: Severity::Error,
    page: include_str!("order_cycle.rs"),
};

/// `places` are the `after` entries of the cycle, each with the procedure it stands in.
pub fn finding(places: &[(Span, &str)]) -> Option<Finding> {
    let names: Vec<&str> = places.iter().map(|(_, name)| *name).collect();
    let round = names
        .iter()
        .chain(names.first())
        .map(|n| format!("`{n}`"))
        .collect::<Vec<_>>()
        .join(" after ");
    let (first, _) = *places.first()?;
    let mut finding = match names.as_slice() {
        [one] => Finding::new(&RULE, first, format!("`{one}` waits for itself")).help("take it out of `after`"),
        _ => Finding::new(&RULE, first, format!("these procedures wait for each other: {round}"))
            .help("take one of them out of `after`"),
    };
    for (span, name) in places.iter().skip(1) {
        finding = finding.also(*span, format!("`{name}` waits here"));
    }
    Some(finding)
}
