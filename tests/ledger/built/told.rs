//! A finding of the compiler as the simulator would tell it, and what its words say.

use super::stand::Place;
use std::collections::BTreeSet;

/// A finding of the compiler.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Told {
    pub code: u32,
    pub kind: &'static str,
    pub what: Vec<String>,
    pub at: Place,
    /// `o0=a`, `l0 low`, `k0 yes`.
    pub choices: BTreeSet<String>,
}

/// What differs in the words of one code.
pub fn kind(code: u32, message: &str) -> &'static str {
    let words: &[(&str, &'static str)] = match code {
        436 => &[("is tight", "tight"), ("still in", "in"), ("holds it", "clip")],
        437 => &[
            ("is to hold", "holds"),
            ("missing", "missing"),
            ("is loosened", "loosened"),
        ],
        441 => &[
            ("not all of it", "missing"),
            ("used before", "spent"),
            ("which is not on", "aside"),
            ("not tight", "loose"),
            ("is tight", "tight"),
            ("not closed", "open"),
            ("not cured", "uncured"),
            ("last touched", "undone"),
            ("it is `", "is"),
            ("is on", "on"),
        ],
        411 | 413 | 415 => &[
            ("=x`, but", "x"),
            ("=y`, but", "y"),
            ("=z`, but", "z"),
            ("=x`, and", "x"),
            ("=y`, and", "y"),
            ("=z`, and", "z"),
        ],
        453 => &[("nothing waits", "never"), ("nothing to wait for", "nothing")],
        454 => &[("is closed after", "over"), ("signature", "hold")],
        _ => &[],
    };
    words
        .iter()
        .find(|(word, _)| message.contains(word))
        .map_or("", |(_, kind)| kind)
}

/// The same of a fault, where the words tell.
pub fn plain(code: u32, kind: &'static str) -> &'static str {
    match code {
        411 | 413 | 415 | 436 | 437 | 441 | 453 | 454 => kind,
        _ => "",
    }
}

/// The id that stands alone, before a value or in a mark of its own: `power`, `power=off`, `[start warm]`.
pub fn id(word: &str) -> &str {
    let mark = word.strip_prefix('[').and_then(|mark| mark.strip_suffix(']'));
    let named = mark.and_then(|mark| mark.split(' ').nth(1)).unwrap_or(word);
    named.split('=').next().unwrap_or("")
}

/// The ids that words name, in their order, each once.
pub fn ids(words: &str) -> Vec<String> {
    let mut ids: Vec<String> = Vec::new();
    for word in words.split('`').skip(1).step_by(2) {
        let id = id(word).to_string();
        if !ids.contains(&id) {
            ids.push(id);
        }
    }
    ids
}
