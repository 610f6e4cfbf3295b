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
use crate::source::{FileId, FileSet, Span};

pub static RULE: Rule = Rule {
    code: "BL801",
    name: "missing-glyph",
    severity: Severity::Error,
    page: include_str!("missing_glyph.rs"),
};

/// The findings for characters that a card would print and the fonts lack, each at its first place in `files_of_card` (the
/// procedure's file first, then those it takes entries from).
pub fn check(files: &FileSet, files_of_card: &[FileId], missing: &[char]) -> Vec<Finding> {
    let finding = |c: &char| {
        // It is printed, so it is written somewhere, in a way that nobody thought of: then the card itself is the place.
        let nowhere = || files_of_card.first().map(|id| Span::new(*id, 0, 0));
        let span = place(files, files_of_card, *c).or_else(nowhere)?;
        let message = format!("no built-in font has `{c}` (U+{:04X})", u32::from(*c));
        let finding = Finding::new(&RULE, span, message);
        Some(finding.help("write it another way, or use templates with a font that has it"))
    };
    missing.iter().filter_map(finding).collect()
}

/// Where a character is first written: as itself, as the entity that Markdown reads, or as the escape of a YAML string.
fn place(files: &FileSet, files_of_card: &[FileId], c: char) -> Option<Span> {
    let number = u32::from(c);
    files_of_card.iter().find_map(|id| {
        let text = files.get(*id).text.as_str();
        if let Some(at) = text.find(c) {
            return Some(Span::new(*id, at, at + c.len_utf8()));
        }
        let text = text.to_ascii_lowercase();
        let entity = |base: &str, radix: u32| {
            text.match_indices(base).find_map(|(at, _)| {
                let (digits, _) = text.get(at + base.len()..)?.split_once(';')?;
                let found = u32::from_str_radix(digits, radix) == Ok(number);
                found.then(|| at..at + base.len() + digits.len() + 1)
            })
        };
        let escapes = [
            format!("\\u{number:04x}"),
            format!("\\u{number:08x}"),
            format!("\\x{number:02x}"),
        ];
        let escape = || escapes.iter().find_map(|e| text.find(e).map(|at| at..at + e.len()));
        let at = entity("&#x", 16).or_else(|| entity("&#", 10)).or_else(escape)?;
        Some(Span::new(*id, at.start, at.end))
    })
}
