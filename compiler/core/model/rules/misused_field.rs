//! # A field that says nothing here
//!
//! ## What it means
//! A field stands where it has no meaning: spare pieces of a part that is not renewed.
//!
//! ## Why it matters
//! Its author relies on something that nobody looks at.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   nut: {name: nut, spares: 1}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Run off the [remove nut].
//! 2. Run on the [fit nut].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   nut: {name: nut, renew: yes, spares: 1}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Run off the [remove nut].
//! 2. Run on the [fit nut].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL117",
    name: "misused-field",
    severity: Severity::Error,
    page: include_str!("misused_field.rs"),
};

/// Spare pieces of a part that isn't renewed.
pub fn spares(part: &Name) -> Finding {
    let message = format!("`{}` has spares, and the old one goes back on", part.text);
    Finding::new(&RULE, part.span, message).help("give it `renew: yes`, or take `spares` away")
}
