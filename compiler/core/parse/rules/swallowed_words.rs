//! # Words that YAML takes for something else
//!
//! ## What it means
//! A value can be read, and not all of it was: `#` behind a space began a comment (`Bolt #2`), `&` or `!` at its head gave it a name or a
//! kind, an item of a list (`- bottom`, or `-bottom` without its space) went into the value above it, or a bracket closes what none opened.
//!
//! ## Why it matters
//! The card prints less than was written, or two things as one, and nobody is told.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip bearing #2
//! ---
//!
//! 1. Undo the screws.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: "Strip bearing #2"
//! ---
//!
//! 1. Undo the screws.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL053",
    name: "swallowed-words",
    severity: Severity::Error,
    page: include_str!("swallowed_words.rs"),
};

/// Words behind `#`; `change` puts the whole value in quotes.
pub fn comment(span: Span, change: Option<(Span, String)>) -> Finding {
    let finding = Finding::new(
        &RULE,
        span,
        "`#` behind a space starts a comment, so these words are not part of the value",
    );
    let help = "put quotes round the value, or a space behind the `#` if a comment is meant";
    match change {
        Some((place, with)) => finding.guess(place, with, help),
        None => finding.help(help),
    }
}

/// Words at the head of a value that YAML keeps for itself.
pub fn quotes(span: Span, message: &str) -> Finding {
    Finding::new(&RULE, span, message).help("put quotes round the whole value")
}

/// An item of a list in another value; `above` is true if it goes on with the line above.
pub fn item(span: Span, above: bool) -> Finding {
    let message = if above {
        "this line goes on with the value above, so it is no item of a list"
    } else {
        "this is one value, not an item of a list"
    };
    Finding::new(&RULE, span, message)
        .help("write `- ` before each item, with a space behind the hyphen, all at one indent")
}

pub fn bracket(span: Span, sign: &str) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!("this `{sign}` closes nothing, so it is part of the value"),
    )
    .help("put the other bracket before the first item, or quotes round the value")
}
