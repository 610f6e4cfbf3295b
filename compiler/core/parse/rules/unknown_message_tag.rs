//! # Unknown tag of a safety message
//!
//! ## What it means
//! A block quote starts with a tag that isn't `[!DANGER]`, `[!WARNING]`, `[!CAUTION]`, `[!NOTICE]` or `[!NOTE]`;
//! perhaps the `!` is missing.
//!
//! ## Why it matters
//! The level tells the reader how bad it can get; a message without one can't be given its signal word.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! > [!WARN] Stored pressure
//! > The head can fly off.
//! > Avoid: open the drain.
//!
//! 1. Undo the head.
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

use crate::finding::{Finding, Rule, Severity, did_you_mean};
use crate::source::Span;
use crate::syntax::LEVELS;

pub static RULE: Rule = Rule {
    code: "BL024",
    name: "unknown-message-tag",
    severity: Severity::Error,
    page: include_str!("unknown_message_tag.rs"),
};

/// `span` is the tag with its brackets.
pub fn finding(span: Span, tag: &str) -> Finding {
    let finding = Finding::new(&RULE, span, format!("`[!{tag}]` is not the tag of a safety message"));
    let near = did_you_mean(tag, LEVELS.iter().map(|(tag, _)| *tag));
    let near = near.or_else(|| {
        LEVELS
            .iter()
            .map(|(t, _)| *t)
            .find(|t| tag.len() >= 3 && t.starts_with(&tag.to_uppercase()))
    });
    match near {
        Some(name) => finding.guess(span, format!("[!{name}]"), format!("did you mean `[!{name}]`?")),
        None => finding.help("write `[!DANGER]`, `[!WARNING]`, `[!CAUTION]`, `[!NOTICE]` or `[!NOTE]`"),
    }
}

/// `[DANGER]`, which Markdown readers and this one take for plain words; `tag` is what it should hold after the `!`.
pub fn without_sign(span: Span, word: &str, tag: &str) -> Finding {
    let finding = Finding::new(&RULE, span, format!("`[{word}]` is not the tag of a safety message"));
    finding.replace(span, format!("[!{tag}]"), format!("did you mean `[!{tag}]`?"))
}

pub fn unclosed(span: Span) -> Finding {
    Finding::new(&RULE, span, "the tag of this message has no closing bracket")
        .help("write `]` after the level, such as `[!WARNING]`")
}
