//! # A message that no step follows
//!
//! ## What it means
//! A message or note stands after the last step of its phase, or inside a quote or a list that is no step.
//!
//! ## Why it matters
//! A message is printed right before the step it guards. With no step after it, it would come too late or not at all.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Undo the head.
//!
//! > [!WARNING] Stored pressure
//! > The head can fly off.
//! > Avoid: open the drain.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! > [!WARNING] Stored pressure
//! > The head can fly off.
//! > Avoid: open the drain.
//!
//! 1. Undo the head.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL025",
    name: "message-guards-nothing",
    severity: Severity::Error,
    page: include_str!("message_guards_nothing.rs"),
};

pub fn finding(span: Span) -> Finding {
    Finding::new(&RULE, span, "no step of this phase follows these words").help("move them before the step they guard")
}

/// The message stands inside a block that is printed as plain words.
pub fn nested(span: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        "a message inside a quote or a list below a sub-step guards no step",
    )
    .help("let it stand alone before the step, or right inside it")
}
