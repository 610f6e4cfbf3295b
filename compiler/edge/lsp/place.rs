//! Byte offsets to lines and columns as an editor counts them, and back.

use crate::source::{BYTE_ORDER_MARK, LineIndex, SourceFile, Span};
use lsp_types::{Position, PositionEncodingKind, Range};

/// What a column counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counts {
    Utf8,
    Utf16,
    Utf32,
}

impl Counts {
    /// The one to use of those that an editor can: bytes, which need no counting, or else the protocol's own.
    pub fn best(offered: &[PositionEncodingKind]) -> Counts {
        let has = |kind: PositionEncodingKind| offered.contains(&kind);
        if has(PositionEncodingKind::UTF8) {
            Counts::Utf8
        } else if has(PositionEncodingKind::UTF32) && !has(PositionEncodingKind::UTF16) {
            Counts::Utf32
        } else {
            Counts::Utf16
        }
    }

    pub fn name(self) -> PositionEncodingKind {
        match self {
            Counts::Utf8 => PositionEncodingKind::UTF8,
            Counts::Utf16 => PositionEncodingKind::UTF16,
            Counts::Utf32 => PositionEncodingKind::UTF32,
        }
    }

    fn of(self, c: char) -> usize {
        match self {
            Counts::Utf8 => c.len_utf8(),
            Counts::Utf16 => c.len_utf16(),
            Counts::Utf32 => 1,
        }
    }
}

/// Where a line begins for an editor, which sees no byte order mark.
fn start(text: &str, lines: &LineIndex, line: usize) -> Option<usize> {
    let start = lines.start(line)?;
    let marked = start == 0 && text.starts_with(BYTE_ORDER_MARK);
    Some(if marked { BYTE_ORDER_MARK.len_utf8() } else { start })
}

/// A byte offset as a line and a column.
pub fn position(text: &str, lines: &LineIndex, offset: usize, counts: Counts) -> Position {
    let offset = offset.min(text.len());
    let line = lines.line(offset);
    let start = start(text, lines, line).unwrap_or(0);
    let before = text.get(start..offset.max(start)).unwrap_or("");
    let column: usize = before.chars().map(|c| counts.of(c)).sum();
    Position::new(line as u32, column as u32)
}

/// The byte offset of a line and a column; past the end of a line, its end. Always on a character boundary.
pub fn offset(text: &str, lines: &LineIndex, position: Position, counts: Counts) -> usize {
    let start = start(text, lines, position.line as usize);
    let Some((mut at, rest)) = start.and_then(|start| Some((start, text.get(start..)?))) else {
        return text.len();
    };
    let (mut column, mut rest) = (0, rest.chars());
    while let Some(c) = rest.next() {
        let end = c == '\n' || (c == '\r' && rest.as_str().starts_with('\n'));
        if end || column + counts.of(c) > position.character as usize {
            break;
        }
        column += counts.of(c);
        at += c.len_utf8();
    }
    at
}

/// A span as an editor's range.
pub fn range(source: &SourceFile, span: Span, counts: Counts) -> Range {
    let one = |offset: u32| position(&source.text, source.lines(), offset as usize, counts);
    Range::new(one(span.start), one(span.end))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_boundary_goes_there_and_back() {
        let text = "\u{feff}a µm 𝄞b\r\nN·m\n\nend";
        let lines = LineIndex::new(text);
        for counts in [Counts::Utf8, Counts::Utf16, Counts::Utf32] {
            for (at, _) in text
                .char_indices()
                .skip(1)
                .filter(|(at, _)| !text[..*at].ends_with('\r'))
            {
                let place = position(text, &lines, at, counts);
                assert_eq!(offset(text, &lines, place, counts), at, "{counts:?} {at}");
            }
        }
        // The clef is four bytes, two units of UTF-16 and one character.
        let clef = text.find('b').unwrap();
        assert_eq!(position(text, &lines, clef, Counts::Utf16), Position::new(0, 7));
        assert_eq!(position(text, &lines, clef, Counts::Utf8), Position::new(0, 10));
        assert_eq!(position(text, &lines, clef, Counts::Utf32), Position::new(0, 6));
    }

    #[test]
    fn what_lies_outside_is_the_nearest_place() {
        let text = "ab\r\n𝄞";
        let lines = LineIndex::new(text);
        let at = |line, column| offset(text, &lines, Position::new(line, column), Counts::Utf16);
        assert_eq!(
            (at(0, 99), at(9, 0), at(1, 1), at(1, 99)),
            (2, text.len(), 4, text.len())
        );
    }
}
