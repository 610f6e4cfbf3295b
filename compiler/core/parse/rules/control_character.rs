//! # A control character
//!
//! ## What it means
//! The text holds a character that is no part of any word: one that rings a bell, moves a cursor or begins a colour on an old terminal, or
//! one that turns the direction of reading.
//!
//! ## Why it matters
//! It can't be printed, and on a screen it may hide, overwrite or turn round what stands beside it: a figure that is read backwards is
//! another figure. Such characters come along when text is copied from a terminal or a PDF.
//!
//! ## Example
//! ```markdown
//! ---
//! title: "Strip\x07 the pump"
//! ---
//!
//! 1. Undo the cover.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip the pump
//! ---
//!
//! 1. Undo the cover.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::{FileId, Span};

pub static RULE: Rule = Rule {
    code: "BL031",
    name: "control-character",
    severity: Severity::Error,
    page: include_str!("control_character.rs"),
};

/// Most findings for one file: one that isn't text at all needs no more.
const MOST: usize = 20;

/// Findings for those that stand in a text as they are; it begins at the start of its file.
pub fn check(file: FileId, text: &str) -> Vec<Finding> {
    let unwanted = text.char_indices().filter(|(at, c)| is_unwanted(*c, *at));
    let finding = |(at, c): (usize, char)| {
        let span = Span::new(file, at, at + c.len_utf8());
        Finding::new(&RULE, span, message(c)).replace(span, "", "take it out")
    };
    unwanted.take(MOST).map(finding).collect()
}

/// The finding for a piece of text that has one only after its escapes are read: written `\x07` or `&#7;`.
pub fn written(span: Span, source: &str, read: &str) -> Option<Finding> {
    let unwanted = |c: char| is_unwanted(c, 1) && !source.contains(c);
    let c = read.chars().find(|c| unwanted(*c))?;
    Some(Finding::new(&RULE, span, message(c)).help("take it out"))
}

fn message(c: char) -> String {
    let what = match c {
        '\u{feff}' => "an invisible mark that only belongs at the start of a file",
        c if c.is_control() => "a control character",
        _ => "a character that turns the direction of reading",
    };
    format!("U+{:04X} is {what}", u32::from(c))
}

/// True for what no text needs: control characters but for tabs and line ends, and overrides and embeddings of the direction of reading.
fn is_unwanted(c: char, at: usize) -> bool {
    match c {
        '\t' | '\n' | '\r' => false,
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{fffe}' | '\u{ffff}' => true,
        // A byte order mark.
        '\u{feff}' => at > 0,
        c => c.is_control(),
    }
}
