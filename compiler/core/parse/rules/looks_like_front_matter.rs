//! # A procedure without front matter
//!
//! ## What it means
//! A Markdown file looks like a procedure and doesn't start with a line `---`: something stands before it, the line is another one (`----`,
//! `—`, `+++`), or the fields begin without it. A file of notes, without steps and marks, is left alone.
//!
//! ## Why it matters
//! A file without front matter is no procedure: its card would be missing.
//!
//! ## Example
//! ```markdown
//! ----
//! title: Strip
//! ---
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
//! 1. Undo the screws.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL049",
    name: "looks-like-front-matter",
    severity: Severity::Error,
    page: include_str!("looks_like_front_matter.rs"),
};

/// Something stands before the first `---`: `before` is what, with its article, and `lead` where it stands.
pub fn preceded(span: Span, before: &str, lead: Option<Span>) -> Finding {
    let finding = Finding::new(
        &RULE,
        span,
        format!("{before} stands before this `---`, so this is no procedure"),
    );
    match lead {
        Some(lead) => finding.replace(lead, "", "let the file start with `---`"),
        None => finding.help("let the file start with `---`"),
    }
}

/// A line that is another one than `---`; `alone` is true if only this one has to change.
pub fn fence(span: Span, written: &str, alone: bool) -> Finding {
    let finding = Finding::new(
        &RULE,
        span,
        format!("`{written}` begins no front matter, so this is no procedure"),
    );
    if alone {
        finding.replace(span, "---", "write three hyphens")
    } else {
        finding.help("write three hyphens, `---`, before the first field and behind the last")
    }
}

/// Fields without a line before them.
pub fn bare(span: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        "these fields have no `---` before them, so this is no procedure",
    )
    .help("write a line `---` before the first field and behind the last")
}

/// Steps, messages or marks without front matter.
pub fn missing(span: Span, what: &str) -> Finding {
    Finding::new(&RULE, span, format!("this file has {what} and no front matter, so no card is made of it"))
        .help("let it start with `---`, `title: …` and `---`, each on a line; put it outside of the set if it is none of its procedures")
}
