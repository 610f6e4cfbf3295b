//! # The mark doesn't say what it needs to
//!
//! ## What it means
//! A mark with an id missing, one word too many, or no closing bracket.
//!
//! ## Why it matters
//! Half a mark can't be checked or printed.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! states: {drain: {values: [open, shut], start: open}}
//! ---
//!
//! 1. Shut the drain [set drain].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! states: {drain: {values: [open, shut], start: open}}
//! ---
//!
//! 1. Shut the drain [set drain=shut].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL021",
    name: "bad-mark-arguments",
    severity: Severity::Error,
    page: include_str!("bad_mark_arguments.rs"),
};

/// `wanted` says what belongs after the verb, `example` is one.
pub fn finding(span: Span, verb: &str, wanted: &str, example: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{verb}` takes {wanted}")).help(match example {
        "" => format!("write it like `[{verb}]`"),
        example => format!("write it like `[{verb} {example}]`"),
    })
}

pub fn unclosed(span: Span) -> Finding {
    Finding::new(&RULE, span, "this mark has no closing bracket").help("write `]` after its last word")
}

/// Something other than plain words stands inside.
pub fn markup(span: Span) -> Finding {
    Finding::new(&RULE, span, "a mark can't hold emphasis, code or a link")
        .help("write its words plainly, and any emphasis round the whole mark")
}
