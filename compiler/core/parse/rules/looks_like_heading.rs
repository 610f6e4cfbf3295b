//! # Text that looks like a heading
//!
//! ## What it means
//! A line starts with `#` and is no heading to Markdown (the space is missing, or the line goes on with the one above), or a heading stands
//! inside a step or a quote, where it begins no phase. Where `#` is meant as it stands, write `\#`.
//!
//! ## Why it matters
//! The phase would be missing: its steps would be counted with those above, and a message under it would cover the wrong ones.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! #Take off the cover
//!
//! 1. Undo the screws.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! # Take off the cover
//!
//! 1. Undo the screws.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL041",
    name: "looks-like-heading",
    severity: Severity::Error,
    page: include_str!("looks_like_heading.rs"),
};

/// `becomes` is what the signs must be, if more than their place is wrong.
pub fn finding(span: Span, signs: &str, becomes: Option<&str>) -> Finding {
    match becomes {
        Some(becomes) => Finding::new(
            &RULE,
            span,
            format!(
                "`{}` needs a space behind it to begin a heading; this is plain text",
                signs.trim()
            ),
        )
        .replace(span, becomes, format!("write `{becomes}`")),
        None if !signs.starts_with('#') => Finding::new(
            &RULE,
            span,
            "what stands before this `#` keeps it from beginning a heading",
        )
        .help("let the line start with `#`"),
        None => Finding::new(&RULE, span, "this line goes on with the one above, so it is no heading")
            .help("put an empty line before it and start it at the left edge"),
    }
}

/// A heading that isn't at the top level.
pub fn nested(span: Span, place: &str) -> Finding {
    Finding::new(&RULE, span, format!("a heading inside {place} begins no phase"))
        .help("start it at the left edge, after an empty line")
}
