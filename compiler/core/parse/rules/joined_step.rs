//! # A line that goes on with the step above
//!
//! ## What it means
//! A line at the margin begins a sentence of its own, and has no number. Markdown takes it for the step above, since no blank line parts
//! them: it prints there, under that step's box.
//!
//! ## Why it matters
//! Most likely a number was forgotten. What the line says has no box, and two acts under one box are ticked when the first is done.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Draw a fingernail over each seat.
//! Turn each bearing by hand.
//! 2. Wipe the seats.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Draw a fingernail over each seat.
//! 2. Turn each bearing by hand.
//! 3. Wipe the seats.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL032",
    name: "joined-step",
    severity: Severity::Warning,
    page: include_str!("joined_step.rs"),
};

pub fn finding(span: Span) -> Finding {
    Finding::new(&RULE, span, "this line has no number, so it is part of the step above")
        .help("begin it with a number if it is a step, or indent it as far as the words of the step above")
}
