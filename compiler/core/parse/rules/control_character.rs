//! # A control character
//!
//! ## What it means
//! The text holds a character that is no part of any word: one that rings a bell, moves a cursor or begins a colour on an old terminal, or
//! one without a form, which turns the direction of reading or parts a word unseen.
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
    let unwanted = suspects(text).filter(|(at, c)| is_unwanted(*c, *at));
    let finding = |(at, c): (usize, char)| {
        let span = Span::new(file, at, at + c.len_utf8());
        Finding::new(&RULE, span, message(c)).replace(span, "", "take it out")
    };
    unwanted.take(MOST).map(finding).collect()
}

/// The characters of a text that no plain letter or sign of ASCII is: what is unwanted is one of them.
fn suspects(text: &str) -> impl Iterator<Item = (usize, char)> {
    let plain = |byte: u8| matches!(byte, b'\t' | b'\n' | b'\r' | b' '..=b'~' | 0x80..=0xbf);
    let places = text.bytes().enumerate().filter(move |(_, byte)| !plain(*byte));
    places.filter_map(|(at, _)| Some((at, text.get(at..)?.chars().next()?)))
}

/// The finding for a piece of text that has one only after its escapes are read: written `\x07` or `&#7;`.
pub fn written(span: Span, source: &str, read: &str) -> Option<Finding> {
    // Nearly every piece is read as it is written.
    if source == read {
        return None;
    }
    let unwanted = |c: char| is_unwanted(c, 1) && !source.contains(c);
    let c = read.chars().find(|c| unwanted(*c))?;
    Some(Finding::new(&RULE, span, message(c)).help("take it out"))
}

fn message(c: char) -> String {
    let what = match c {
        '\u{feff}' => "an invisible mark that only belongs at the start of a file".to_string(),
        c if c.is_control() => "a control character".to_string(),
        c => match name(c) {
            Some(name) => format!("an invisible character ({name})"),
            None => "an invisible character".to_string(),
        },
    };
    format!("U+{:04X} is {what}", u32::from(c))
}

/// What the Unicode Standard calls those that come up, in small letters.
fn name(c: char) -> Option<&'static str> {
    Some(match c {
        '\u{61c}' => "Arabic letter mark",
        '\u{115f}' | '\u{1160}' | '\u{3164}' | '\u{ffa0}' => "Hangul filler",
        '\u{180e}' => "Mongolian vowel separator",
        '\u{200b}' => "zero width space",
        '\u{200c}' => "zero width non-joiner",
        '\u{200d}' => "zero width joiner",
        '\u{200e}' => "left-to-right mark",
        '\u{200f}' => "right-to-left mark",
        '\u{202a}' => "left-to-right embedding",
        '\u{202b}' => "right-to-left embedding",
        '\u{202c}' => "pop directional formatting",
        '\u{202d}' => "left-to-right override",
        '\u{202e}' => "right-to-left override",
        '\u{2060}' => "word joiner",
        '\u{2061}'..='\u{2064}' => "invisible operator",
        '\u{2066}' => "left-to-right isolate",
        '\u{2067}' => "right-to-left isolate",
        '\u{2068}' => "first strong isolate",
        '\u{2069}' => "pop directional isolate",
        '\u{fff9}'..='\u{fffb}' => "interlinear annotation",
        '\u{e0000}'..='\u{e007f}' => "tag",
        _ => return None,
    })
}

/// True for what no text needs: control characters but for tabs and line ends, and characters without a form, which turn the direction of
/// reading or part and join what stands beside them unseen. A soft hyphen says where a long word may be divided, and stays.
fn is_unwanted(c: char, at: usize) -> bool {
    match c {
        '\t' | '\n' | '\r' => false,
        '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{180e}' | '\u{3164}' | '\u{ffa0}' => true,
        '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' => true,
        '\u{fff9}'..='\u{fffb}' | '\u{fffe}' | '\u{ffff}' | '\u{e0000}'..='\u{e007f}' => true,
        // A byte order mark.
        '\u{feff}' => at > 0,
        c => c.is_control(),
    }
}
