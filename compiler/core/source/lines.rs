//! Byte offsets to line and column.

/// Starts of the lines of a text.
#[derive(Debug, Clone, Default)]
pub struct LineIndex {
    starts: Vec<u32>,
}

/// A place as people count: both from 1, the column in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Position {
    pub line: usize,
    pub column: usize,
}

impl LineIndex {
    pub fn new(text: &str) -> Self {
        let breaks = text
            .bytes()
            .enumerate()
            .filter(|(_, b)| *b == b'\n')
            .map(|(i, _)| i as u32 + 1);
        LineIndex {
            starts: std::iter::once(0).chain(breaks).collect(),
        }
    }

    /// The line of a byte offset, counted from 0.
    pub fn line(&self, offset: usize) -> usize {
        self.starts.partition_point(|s| *s as usize <= offset).saturating_sub(1)
    }

    /// The byte offset at which a line begins, counted from 0; `None` past the last.
    pub fn start(&self, line: usize) -> Option<usize> {
        self.starts.get(line).map(|s| *s as usize)
    }

    /// The place of a byte offset in the text the index was made from; past the end, the end.
    pub fn position(&self, text: &str, offset: usize) -> Position {
        let offset = offset.min(text.len());
        let line = self.starts.partition_point(|s| *s as usize <= offset).max(1);
        let start = self.starts.get(line - 1).map_or(0, |s| *s as usize);
        // A byte order mark has no width.
        let before = text
            .get(start..offset)
            .map_or("", |s| s.strip_prefix(super::BYTE_ORDER_MARK).unwrap_or(s));
        let column = before.chars().count() + 1;
        Position { line, column }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_not_bytes() {
        let text = "a\nµm x";
        let index = LineIndex::new(text);
        assert_eq!(index.position(text, 0), Position { line: 1, column: 1 });
        assert_eq!(
            index.position(text, text.find('x').unwrap()),
            Position { line: 2, column: 4 }
        );
        assert_eq!(index.position(text, 99), Position { line: 2, column: 5 });
    }
}
