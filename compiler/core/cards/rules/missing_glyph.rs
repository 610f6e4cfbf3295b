//! # A character that can't be printed
//!
//! ## What it means
//! The text of a card holds a character that none of the built-in fonts has.
//!
//! ## Why it matters
//! It would come out as an empty box, and a word or figure with a hole in it is worse than none.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. 軸受 を外す。
//! ```
//!
//! ## Instead
//! Templates of your own may bring a font that has the characters. With the built-in fonts:
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Take out the bearing.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::{FileSet, Span};

pub static RULE: Rule = Rule {
    code: "BL801",
    name: "missing-glyph",
    severity: Severity::Error,
    page: include_str!("missing_glyph.rs"),
};

/// The findings for characters that a card would print and the fonts lack, each at its first place in `files_of_card` (the
/// procedure's file first, then those it takes entries from).
pub fn check(files: &FileSet, files_of_card: &[crate::source::FileId], missing: &[char]) -> Vec<Finding> {
    let place = |c: char| {
        files_of_card.iter().find_map(|id| {
            let at = files.get(*id).text.find(c)?;
            Some(Span::new(*id, at, at + c.len_utf8()))
        })
    };
    let finding = |(c, span): (char, Span)| {
        Finding::new(
            &RULE,
            span,
            format!("no built-in font has `{c}` (U+{:04X})", u32::from(c)),
        )
        .help("write it another way, or use templates with a font that has it")
    };
    missing
        .iter()
        .filter_map(|c| Some((*c, place(*c)?)))
        .map(finding)
        .collect()
}
