//! Pieces of a text: what stands at a place, and what it begins with. Nothing is longer than the text.

use std::slice::SliceIndex;

/// What stands at a range of a text; nothing where the text has no such range.
pub fn slice(text: &str, range: impl SliceIndex<str, Output = str>) -> &str {
    text.get(range).unwrap_or("")
}

/// Where the line begins that a place is in.
pub fn line_start(text: &str, at: usize) -> usize {
    slice(text, ..at).rfind('\n').map_or(0, |end| end + 1)
}

/// The first character, and what follows it.
pub fn split_first(text: &str) -> Option<(char, &str)> {
    let mut chars = text.chars();
    let first = chars.next()?;
    Some((first, chars.as_str()))
}

/// The characters of one kind that a text begins with, and what follows them.
pub fn split_while(text: &str, kind: impl Fn(char) -> bool) -> (&str, &str) {
    text.find(|c| !kind(c))
        .and_then(|end| text.split_at_checked(end))
        .unwrap_or((text, ""))
}

/// The ASCII digits that a text begins with, and what follows them.
pub fn split_digits(text: &str) -> (&str, &str) {
    split_while(text, |c| c.is_ascii_digit())
}
