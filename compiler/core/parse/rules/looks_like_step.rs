//! # Text that looks like a step
//!
//! ## What it means
//! A line starts like an item of a list and is none to Markdown: the space behind the number is missing (`1.Undo`), the sign is one that
//! Markdown doesn't know (`•`, `a)`, `(1)`), the number is wrapped in quotes or emphasis, or the line stands in the middle of a paragraph, where a list
//! can't begin. Where the words are meant as they stand, put a backslash before the sign: `1\.Undo`.
//!
//! ## Why it matters
//! It would print as plain words, without a number and a box, and what it does would not be checked.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the screws.
//!
//! 2.Lift off the cover.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the screws.
//! 2. Lift off the cover.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL040",
    name: "looks-like-step",
    severity: Severity::Error,
    page: include_str!("looks_like_step.rs"),
};

/// A step without the space behind its marker, or with one that Markdown doesn't take for a space; `becomes` is the marker as it must be.
pub fn space(span: Span, marker: &str, becomes: &str) -> Finding {
    let message = format!(
        "`{}` needs a space behind it to begin a step; this is plain text",
        marker.trim()
    );
    Finding::new(&RULE, span, message).replace(span, becomes, "put a space there")
}

/// A step with another space than one that Markdown knows.
pub fn odd_space(span: Span, marker: &str, becomes: &str) -> Finding {
    let marker = marker.trim_end_matches(|c: char| !c.is_ascii_graphic());
    let message =
        format!("the space behind `{marker}` is a no-break space, with which no step begins; this is plain text");
    Finding::new(&RULE, span, message).replace(span, becomes, "put a plain space there")
}

/// A step with a sign that begins no item; `becomes` is the marker it stands for, if that is certain.
pub fn sign(span: Span, marker: &str, becomes: Option<&str>) -> Finding {
    let message = format!("`{}` begins no step; this is plain text", marker.trim());
    let finding = Finding::new(&RULE, span, message);
    match becomes.map(str::trim) {
        Some("-") => finding.help("number the steps (`1. `), or write `- ` where their order doesn't matter"),
        Some(becomes) => finding.replace(span, becomes, format!("write `{becomes}`")),
        None => finding.help("number the steps (`1. `), or write `- ` where their order doesn't matter; sub-steps stand under the first word of their step"),
    }
}

/// A step in the middle of a paragraph.
pub fn swallowed(span: Span, marker: &str) -> Finding {
    let message = format!("`{marker}` stands in the middle of a paragraph here, so this is no step");
    Finding::new(&RULE, span, message).help(
        "put an empty line before it if it begins a list, or indent it like the step above; a number that is meant as words is written `2\\.`",
    )
}

/// A step with its number in quotes or emphasis.
pub fn wrapped(span: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        "what stands before this number keeps it from beginning a step; this is plain text",
    )
    .help("let the line start with the number, and put quotes or emphasis round the words behind it")
}

/// A list in a block quote.
pub fn in_quote(span: Span) -> Finding {
    Finding::new(&RULE, span, "a list in a quote is no list of steps").help("take out the `>` before each of its lines")
}

/// An item that begins with another item.
pub fn doubled(span: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        "this step begins with a second marker, so it has no words of its own",
    )
    .help("leave out one of the two markers")
}
