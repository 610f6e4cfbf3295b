//! # A quote without a tag
//!
//! ## What it means
//! A block quote (lines that start with `>`) doesn't start with one of the tags `[!DANGER]`, `[!WARNING]`, `[!CAUTION]`, `[!NOTICE]` and
//! `[!NOTE]`.
//!
//! ## Why it matters
//! It prints as plain prose, without a panel. Whoever wrote the `>` most likely wanted it to stand out.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! > The cover is heavier than it looks.
//!
//! 1. Lift off the cover.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! > [!NOTE] The cover is heavier than it looks.
//!
//! 1. Lift off the cover.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL046",
    name: "untagged-quote",
    severity: Severity::Advice,
    page: include_str!("untagged_quote.rs"),
};

pub fn finding(span: Span) -> Finding {
    Finding::new(&RULE, span, "this quote has no tag, so it prints as plain words")
        .help("start it with `[!NOTE]`, or with the tag of a safety message; plain words need no `>`")
}
