//! # Markup that the language doesn't have
//!
//! ## What it means
//! A table, a task list (`- [ ]`), struck words (`~~…~~`) or a footnote. Forges show them, but they are no part of CommonMark and have no
//! place on a card.
//!
//! ## Why it matters
//! The signs would be printed as they are typed, struck words as if they counted, and the marks in a table would do nothing.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the screws.
//! 2. ~~Lift off the cover.~~
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the screws.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL045",
    name: "foreign-markup",
    severity: Severity::Error,
    page: include_str!("foreign_markup.rs"),
};

pub fn table(span: Span) -> Finding {
    Finding::new(&RULE, span, "a card has no tables; this one would print as plain words")
        .help("write figures into registers, for which cards print tables, and work as steps")
}

/// `span` is the box with the space behind it; it can be deleted where the item has a number.
pub fn task(span: Span, numbered: bool) -> Finding {
    let finding = Finding::new(
        &RULE,
        span,
        "`[ ]` is no part of a step: every step prints with a box of its own",
    );
    if numbered {
        finding.replace(span, "", "delete it")
    } else {
        finding.help("delete it, and number the steps (`1. `) if they are to be done in this order")
    }
}

pub fn struck(span: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        "words between `~~` are not struck out on a card: they would be printed",
    )
    .help("delete the words; git keeps what they were")
}

pub fn footnote(span: Span) -> Finding {
    Finding::new(&RULE, span, "a card has no footnotes")
        .help("write the words where they are needed, as a `> [!NOTE]` if they are long")
}
