//! # Not a value
//!
//! ## What it means
//! The text can't be read as the figure, range, fit, time or thread that belongs here.
//!
//! ## Why it matters
//! A value that can't be read can't be checked, and it won't be printed unchecked.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! limits:
//!   bore:
//!     limit: max 55,02 mm
//! ---
//!
//! 1. Measure the [measure bore].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! limits:
//!   bore:
//!     limit: max 55.02 mm
//! ---
//!
//! 1. Measure the [measure bore].
//! ```

use crate::domain::quantity::{ValueError, ValueErrorKind};
use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL204",
    name: "bad-value",
    severity: Severity::Error,
    page: include_str!("bad_value.rs"),
};

pub fn finding(span: Span, error: &ValueError) -> Finding {
    let finding = Finding::new(&RULE, span, error.message());
    let guessed = matches!(
        error.kind,
        ValueErrorKind::UnknownClass { .. } | ValueErrorKind::UnknownName { .. }
    );
    match error.replacement() {
        Some(text) if guessed => finding.guess(span, text, error.help()),
        Some(text) => finding.replace(span, text, error.help()),
        None => finding.help(error.help()),
    }
}

/// Several numbers of one value with decimal commas.
pub fn commas(span: Span, points: String) -> Finding {
    let help = format!("write `{points}`");
    Finding::new(&RULE, span, "this value has commas where decimal points belong").replace(span, points, help)
}
