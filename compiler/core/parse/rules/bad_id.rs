//! # Not an id
//!
//! ## What it means
//! An id may hold letters, digits, `-`, `_` and `.`, and starts with a letter or digit.
//!
//! ## Why it matters
//! Marks are split at spaces, `=`, `|` and `/`, so an id with one of those could never be named.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head bolts: {torque: 24 N·m}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head-bolts: {torque: 24 N·m}
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;
use crate::syntax::{is_id, is_id_char};

pub static RULE: Rule = Rule {
    code: "BL010",
    name: "bad-id",
    severity: Severity::Error,
    page: include_str!("bad_id.rs"),
};

/// The id that a file's name gives.
pub fn of_file(span: Span, name: &str, id: &str) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!("`{id}`, from the name of this file, can't be an id"),
    )
    .help(format!(
        "rename `{name}`, or say `id:` in its head: letters, digits, `-`, `_` and `.`, starting with a letter or digit"
    ))
}

/// `words` is the field that takes what an id can't hold.
pub fn finding(span: Span, text: &str, words: &str) -> Finding {
    let better: String = text
        .trim()
        .chars()
        .map(|c| if is_id_char(c) { c } else { '-' })
        .collect();
    let better = better
        .trim_start_matches(|c: char| !c.is_alphanumeric())
        .trim_end_matches('-')
        .to_string();
    let message = if text.is_empty() {
        "an id can't be empty".to_string()
    } else {
        format!("`{text}` can't be an id")
    };
    let finding = Finding::new(&RULE, span, message);
    if is_id(&better) {
        finding.replace(
            span,
            better.clone(),
            format!("write `{better}`, and put the words into `{words}`"),
        )
    } else {
        finding.help("use letters, digits, `-`, `_` and `.`, starting with a letter or digit")
    }
}
