//! # Text that looks like a safety message
//!
//! ## What it means
//! A line starts with a signal word, or a quote holds one, and it isn't written as a safety message: a block quote whose first line starts
//! with a tag such as `[!DANGER]`.
//!
//! ## Why it matters
//! It would print as plain words, without a panel and signal word, and it would guard nothing.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! > DANGER: Live parts
//! > Touching them kills.
//! > Avoid: lock the supply off and prove it dead.
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
//! > [!DANGER] Live parts
//! > Touching them kills.
//! > Avoid: lock the supply off and prove it dead.
//!
//! 1. Undo the screws.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL042",
    name: "looks-like-message",
    severity: Severity::Error,
    page: include_str!("looks_like_message.rs"),
};

/// A quote that starts with a signal word. `whole` is true if it also says what happens and how to avoid it.
pub fn in_quote(span: Span, word: &str, tag: Option<&str>, whole: bool) -> Finding {
    let message = format!(
        "`{}` is not the tag of a safety message, so this prints as plain words",
        word.trim()
    );
    let finding = Finding::new(&RULE, span, message);
    match tag {
        Some(tag) if whole => finding.replace(span, format!("[!{tag}] "), format!("write `[!{tag}]`")),
        Some(tag) => finding.help(format!(
            "write `> [!{tag}]` and the hazard, then what happens, then `Avoid:` and how"
        )),
        None => finding.help(TAGS),
    }
}

/// A signal word outside of a quote.
pub fn in_text(span: Span, word: &str, tag: Option<&str>) -> Finding {
    let message = format!("`{}` begins plain words here, not a safety message", word.trim());
    let tag = tag.unwrap_or("WARNING");
    Finding::new(&RULE, span, message).help(format!(
        "write `> [!{tag}]` and the hazard on a line of its own, then a line with what happens and one with `Avoid:`, each behind `> `"
    ))
}

/// A line of a message that lost its place: `>` as plain text.
pub fn sign(span: Span) -> Finding {
    Finding::new(&RULE, span, "this `>` is plain text, because the line is indented too far or goes on with the one above")
        .help("start the line with `>` at the left edge, or below the first word of its step; put an empty line before a quote")
}

/// A quote without a tag that says how to avoid something.
pub fn rest(span: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        "this quote says `Avoid:` and has no tag, so it prints as plain words",
    )
    .help("put it under the first lines of its message without a gap, or start it with a tag such as `[!WARNING]`")
}

const TAGS: &str = "write `[!DANGER]`, `[!WARNING]`, `[!CAUTION]`, `[!NOTICE]` or `[!NOTE]`";
