//! What a cursor stands in, by the text before it alone: a text that is being typed is seldom whole enough to be read.

use crate::domain::fastener::Thread;
use crate::parse::front_matter;
use crate::parse::head::probe::Head;
use crate::source::{SET_FILE, SourceFile, WORKSHOP_FILE, file_name};
use std::ops::Range;

/// What the cursor stands in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// In a head, at a key of the map that this path leads to; keys that are there already.
    Key {
        path: Vec<String>,
        taken: Vec<String>,
        /// True between the braces of a map in one line.
        braces: bool,
    },
    /// In a head, at the value of the last key of this path.
    Value { path: Vec<String> },
    /// In a mark: what stands between its bracket and the cursor.
    Mark { before: String },
    /// In the tag of a block quote.
    Tag,
    /// In the address of a picture.
    Picture,
}

/// The head of a file and where it stands in it; `None` if the file has none.
pub fn head(source: &SourceFile) -> Option<(Head, Range<usize>)> {
    match file_name(&source.path) {
        SET_FILE => Some((Head::Set, 0..source.text.len())),
        WORKSHOP_FILE => Some((Head::Workshop, 0..source.text.len())),
        name if name.ends_with(".md") => match front_matter(&source.text, source.head().start)? {
            Some((yaml, _)) => Some((Head::Procedure, yaml)),
            // It has no end yet: all of it is being written.
            None => Some((Head::Procedure, source.head().end..source.text.len())),
        },
        _ => None,
    }
}

/// What a cursor stands in, with the head if it is one.
pub fn at(source: &SourceFile, offset: usize) -> Option<(Option<Head>, Place)> {
    let offset = floor(&source.text, offset);
    if let Some((head, range)) = head(source)
        && range.start <= offset
        && offset <= range.end
    {
        let (before, after) = (
            source.text.get(range.start..offset)?,
            source.text.get(offset..range.end)?,
        );
        let place = in_yaml(before, after)?;
        return Some((Some(head), place));
    }
    in_body(source.text.get(..offset)?).map(|place| (None, place))
}

/// The character boundary at or before an offset.
pub fn floor(text: &str, offset: usize) -> usize {
    let mut at = offset.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// A path as an address: a space would end it.
pub fn address(path: &str) -> String {
    path.replace('%', "%25").replace(' ', "%20")
}

/// A thread as it is written: `M8x1.25`, `3/8-16 UNC`.
pub fn designation(thread: Thread) -> String {
    match thread.size().starts_with('M') {
        true => format!("{}x{}", thread.size(), thread.pitch_text()),
        false => format!("{}-{} {}", thread.size(), thread.pitch_text(), thread.series()),
    }
}

/// What the end of a piece of Markdown stands in.
fn in_body(before: &str) -> Option<Place> {
    // A mark may be wrapped over the end of a line, and no further.
    let mut tails = before.rmatch_indices('\n').filter_map(|(at, _)| before.get(at + 1..));
    let (own, near) = (tails.next().unwrap_or(before), tails.next().unwrap_or(before));
    if own.trim_start_matches(['>', ' ']).starts_with("[!") && own.trim_start().starts_with('>') && !own.contains(']') {
        return Some(Place::Tag);
    }
    if let Some((lead, address)) = own.rsplit_once("](")
        && !address.contains(')')
        && lead.rsplit_once('[').is_some_and(|(lead, _)| lead.ends_with('!'))
    {
        return Some(Place::Picture);
    }
    let (_, inner) = near
        .rsplit_once('[')
        .filter(|(lead, inner)| !inner.contains(']') && !lead.ends_with('\\'))?;
    // A blank line ends a paragraph, and any mark in it; a tag is none.
    (!inner.contains("\n\n") && !inner.starts_with('!')).then(|| Place::Mark {
        before: inner.to_string(),
    })
}

/// A key in lines of its own, and the keys met below it.
struct Level {
    indent: usize,
    key: String,
    below: Vec<String>,
}

/// A bracket that is open.
struct Bracket {
    map: bool,
    key: Option<String>,
    keys: Vec<String>,
}

/// What the end of a piece of YAML stands in.
fn in_yaml(before: &str, after: &str) -> Option<Place> {
    let mut levels: Vec<Level> = Vec::new();
    let mut top: Vec<String> = Vec::new();
    let mut brackets: Vec<Bracket> = Vec::new();
    // Text in lines of its own belongs to the key above while it stands further in.
    let mut prose: Option<usize> = None;
    let mut lines = before.split('\n').peekable();
    while let Some(line) = lines.next() {
        let here = lines.peek().is_none();
        let mut words = line.trim_start_matches(' ');
        let mut indent = line.len() - words.len();
        if brackets.is_empty() {
            if prose.is_some_and(|than| indent > than || words.trim().is_empty()) && !(here && words.is_empty()) {
                if here {
                    return None;
                }
                continue;
            }
            prose = None;
            if (words.trim().is_empty() || words.starts_with('#')) && !here {
                continue;
            }
            if words.starts_with('#') {
                return None;
            }
            let mut item = false;
            while let Some(rest) = words.strip_prefix("- ") {
                item = true;
                words = rest.trim_start_matches(' ');
                indent = line.len() - words.len();
            }
            while levels.last().is_some_and(|level| level.indent >= indent) {
                levels.pop();
            }
            let Some((key, rest)) = key_of(words) else {
                if !here {
                    continue;
                }
                if item {
                    break;
                }
                let mut taken = levels.last().map_or(&top, |level| &level.below).clone();
                taken.extend(keys_after(after, indent));
                return Some(Place::Key {
                    path: levels.into_iter().map(|level| level.key).collect(),
                    taken,
                    braces: false,
                });
            };
            levels
                .last_mut()
                .map_or(&mut top, |level| &mut level.below)
                .push(key.clone());
            let below = Vec::new();
            levels.push(Level { indent, key, below });
            words = rest.trim_start();
            if words.starts_with(['|', '>']) {
                prose = Some(indent);
                continue;
            }
            if !words.starts_with(['[', '{']) {
                if !here {
                    continue;
                }
                // Behind a remark's sign nothing is read.
                if words.contains(" #") || words.starts_with('#') {
                    return None;
                }
                break;
            }
        }
        if !scan(words, &mut brackets) && here {
            return None;
        }
    }
    if prose.is_some() {
        return None;
    }
    let mut path: Vec<String> = levels.into_iter().map(|level| level.key).collect();
    let last = brackets.len();
    for (n, bracket) in brackets.into_iter().enumerate() {
        match bracket.key {
            Some(key) => path.push(key),
            None if bracket.map && n + 1 == last => {
                return Some(Place::Key {
                    path,
                    taken: bracket.keys,
                    braces: true,
                });
            }
            None => {}
        }
    }
    Some(Place::Value { path })
}

/// The key that a line begins with, and what follows it.
fn key_of(words: &str) -> Option<(String, &str)> {
    if words.starts_with(['[', '{']) {
        return None;
    }
    let (key, rest) = words.match_indices(':').find_map(|(at, _)| {
        let (key, rest) = (words.get(..at)?, words.get(at + 1..)?);
        (rest.is_empty() || rest.starts_with([' ', '\r'])).then_some((key, rest))
    })?;
    let key = key.trim().trim_matches(['"', '\'']);
    (!key.is_empty() && !key.contains(" #")).then(|| (key.to_string(), rest))
}

/// Keys of lines that follow at the same indentation.
fn keys_after(after: &str, indent: usize) -> Vec<String> {
    let mut found = Vec::new();
    for line in after.split('\n').skip(1) {
        let words = line.trim_start_matches(' ');
        let own = line.len() - words.len();
        if words.trim().is_empty() || own > indent {
            continue;
        }
        if own < indent {
            break;
        }
        found.extend(key_of(words).map(|(key, _)| key));
    }
    found
}

/// Goes over a line that has brackets; false if it ends in a remark.
fn scan(words: &str, brackets: &mut Vec<Bracket>) -> bool {
    let mut quote: Option<char> = None;
    let mut token = 0;
    let mut last = ' ';
    for (at, c) in words.char_indices() {
        let before = std::mem::replace(&mut last, c);
        match (quote, c) {
            (Some(open), c) if c == open => quote = None,
            (Some(_), _) => {}
            (None, '"' | '\'') if words.get(token..at).is_some_and(|text| text.trim().is_empty()) => quote = Some(c),
            (None, '#') if before == ' ' => return false,
            (None, '[' | '{') => {
                brackets.push(Bracket {
                    map: c == '{',
                    key: None,
                    keys: Vec::new(),
                });
                token = at + 1;
            }
            (None, ']' | '}') => {
                brackets.pop();
                token = at + 1;
            }
            (None, ',') => {
                if let Some(bracket) = brackets.last_mut() {
                    bracket.key = None;
                }
                token = at + 1;
            }
            (None, ':') => {
                let ends = matches!(words.as_bytes().get(at + 1), None | Some(b' '));
                if let Some(bracket) = brackets
                    .last_mut()
                    .filter(|bracket| ends && bracket.map && bracket.key.is_none())
                    && let Some(key) = words.get(token..at)
                {
                    let key = key.trim().trim_matches(['"', '\'']).to_string();
                    bracket.keys.push(key.clone());
                    bracket.key = Some(key);
                    token = at + 1;
                }
            }
            (None, _) => {}
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    fn yaml(text: &str) -> Option<Place> {
        let (before, after) = text.split_once('|').unwrap();
        in_yaml(before, after)
    }

    fn path(words: &[&str]) -> Vec<String> {
        words.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn keys_and_values_know_their_path() {
        let value = |words: &[&str]| Some(Place::Value { path: path(words) });
        let key = |words: &[&str], taken: &[&str], braces| {
            Some(Place::Key {
                path: path(words),
                taken: path(taken),
                braces,
            })
        };
        assert_eq!(yaml("title: a\n|"), key(&[], &["title"], false));
        assert_eq!(
            yaml("torques:\n  a:\n    na|\n    torque: 1\nb: c\n"),
            key(&["torques", "a"], &["torque"], false)
        );
        assert_eq!(
            yaml("torques:\n  a:\n    fastener: M8 |"),
            value(&["torques", "a", "fastener"])
        );
        assert_eq!(yaml("a:\n  b: {c: d, |}\n"), key(&["a", "b"], &["c"], true));
        assert_eq!(yaml("a:\n  b: {c: d, e: f|}\n"), value(&["a", "b", "e"]));
        assert_eq!(yaml("a:\n  b: {c: [d,\n    |"), value(&["a", "b", "c"]));
        assert_eq!(yaml("a:\n  needs: {power: |"), value(&["a", "needs", "power"]));
        assert_eq!(yaml("about: >-\n  some |"), None);
        assert_eq!(yaml("a: b # re|"), None);
        assert_eq!(yaml("a:\n- b\n- c|"), value(&["a"]));
    }

    #[test]
    fn marks_tags_and_pictures_are_told_apart() {
        let mark = |text: &str| {
            Some(Place::Mark {
                before: text.to_string(),
            })
        };
        assert_eq!(in_body("1. Fit the [fit pl"), mark("fit pl"));
        assert_eq!(in_body("1. Fit the [fit plug]"), None);
        assert_eq!(in_body("1. Fit the \\[fit"), None);
        assert_eq!(in_body("> [!WA"), Some(Place::Tag));
        assert_eq!(in_body("![A ring](ri"), Some(Place::Picture));
        assert_eq!(in_body("text\n\n[fit"), mark("fit"));
        assert_eq!(in_body("[fit\n\nmore"), None);
    }
}
