//! # An id hides another
//!
//! ## What it means
//! A procedure or set declares an id that its set or workshop declares too. The nearer one counts here.
//!
//! ## Why it matters
//! Whoever changes the outer entry expects every card to follow, and this one won't.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover-screws: {torque: 9 N·m, lubrication: dry}
//! ```
//! ```markdown 10-open.md
//! ---
//! title: Test run
//! ---
//!
//! 1. Tighten the [torque cover-screws].
//! ```
//! ```markdown 20-close.md
//! ---
//! title: Close
//! torques:
//!   cover-screws: {torque: 11 N·m, lubrication: dry}
//! ---
//!
//! 1. Tighten the [torque cover-screws].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover-screws: {torque: 9 N·m, lubrication: dry}
//! ```
//! ```markdown 10-open.md
//! ---
//! title: Test run
//! ---
//!
//! 1. Tighten the [torque cover-screws].
//! ```
//! ```markdown 20-close.md
//! ---
//! title: Close
//! torques:
//!   side-cover-screws: {torque: 11 N·m, lubrication: dry}
//! ---
//!
//! 1. Tighten the [torque side-cover-screws].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;
use crate::syntax::registers::Register;

pub static RULE: Rule = Rule {
    code: "BL104",
    name: "shadowed-id",
    severity: Severity::Warning,
    page: include_str!("shadowed_id.rs"),
};

/// `register` is where the hidden entry stands.
pub fn finding(span: Span, id: &str, register: Register, outer: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!("`{id}` hides an entry of the same id in an outer `{register}`"),
    )
    .also(outer, "hidden here")
    .help("give it another id, or delete it and use the outer one")
}
