//! Cuts a YAML text by its indentation: the reader stops at its first fault, so that what stands behind it has to be read for itself.
//!
//! Only block mappings are cut, at the lines where a key stands: what belongs to a key is indented further, whether it is a block, a
//! scalar over several lines, or brackets and quotes that go on. A list may stand at its key's own indent, and so may a closing bracket.

use crate::parse::texts::{slice, split_while};
use std::ops::Range;

/// A key with what belongs to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// Whole lines, with the line end of the last.
    pub range: Range<usize>,
    /// The key, if the first line has one.
    pub key: Option<Range<usize>>,
}

/// The pieces of a text, or of a part of it, at the indent of its first line.
pub fn pieces(text: &str, range: Range<usize>) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    let mut level: Option<usize> = None;
    let mut at = range.start;
    for line in slice(text, range).split_inclusive('\n') {
        let here = at..at + line.len();
        at = here.end;
        let (space, words) = split_while(line, |c| matches!(c, ' ' | '\t' | '\u{a0}'));
        let indent = space.chars().count();
        let blank = words.trim().is_empty() || words.starts_with('#');
        let goes_on = words.starts_with(['}', ']'])
            || words.starts_with("- ")
            || words.trim_end() == "-"
            // How far in a line stands that is indented with something else than spaces nobody knows.
            || (level.is_some() && space.contains(['\t', '\u{a0}']))
            || level.is_some_and(|level| indent > level);
        if !blank && level.is_none() {
            level = Some(indent);
        }
        let marker = indent == 0 && matches!(words.trim_end(), "---" | "...");
        if marker {
            continue;
        }
        match pieces.last_mut() {
            Some(last) if blank || goes_on => last.range.end = here.end,
            None if blank => {}
            _ => {
                let start = here.start + space.len();
                let key = key(words).map(|key| start + key.start..start + key.end);
                pieces.push(Piece { range: here, key });
            }
        }
    }
    pieces
}

/// The part behind the first line of a piece that has nothing but its key: the entries of a block.
pub fn block(text: &str, piece: &Piece) -> Option<Range<usize>> {
    let first = slice(text, piece.range.clone()).split_inclusive('\n').next()?;
    let key = piece.key.clone()?;
    let line_end = piece.range.start + first.len();
    let after = slice(text, key.end..line_end).trim_start_matches(['"', '\'']);
    let rest = after.strip_prefix(':')?.trim();
    (rest.is_empty() || rest.starts_with('#')).then_some(line_end..piece.range.end)
}

/// The key that a line begins with, without its quotes.
fn key(words: &str) -> Option<Range<usize>> {
    let line = words.lines().next().unwrap_or("");
    let quote = line.chars().next().filter(|c| matches!(c, '"' | '\''));
    let (start, (name, _)) = match quote {
        Some(quote) => (1, line.strip_prefix(quote)?.split_once(quote)?),
        None => (0, line.split_once(':')?),
    };
    let fits = !name.is_empty()
        && name
            .chars()
            .all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | ' '));
    fits.then(|| start..start + name.trim_end().len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keys(text: &str) -> Vec<(&str, &str)> {
        let cut = pieces(text, 0..text.len());
        cut.into_iter()
            .map(|piece| (piece.key.map_or("", |key| &text[key]), &text[piece.range]))
            .collect()
    }

    #[test]
    fn a_text_is_cut_at_its_keys() {
        let text = "# ours\na: 1\nb:\n  c: {x: 1,\n    y: 2\n}\n  d: >\n    e: no key\nf:\n- g\n- h\n\"i\": [1,\n2]\n";
        let cut = keys(text);
        let names: Vec<&str> = cut.iter().map(|(key, _)| *key).collect();
        // What stands at the left edge inside of brackets can't be told from a key by its indent.
        assert_eq!(names, ["a", "b", "f", "i", ""]);
        let b = pieces(text, 0..text.len()).remove(1);
        let block = block(text, &b).unwrap();
        let inner: Vec<String> = pieces(text, block)
            .into_iter()
            .map(|piece| piece.key.map_or(String::new(), |key| text[key].to_string()))
            .collect();
        assert_eq!(inner, ["c", "d"]);
    }
}
