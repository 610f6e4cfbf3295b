//! Bytes and paths in; text with addresses out. Knows nothing of YAML or Markdown.
//!
//! A [`FileSet`] holds every input of one compilation in memory, in path order, so that nothing later depends on the order in which
//! a folder was read. A [`Span`] is a byte range in one of its files.

mod lines;
pub mod legible;
pub mod picture;
mod sourced;
pub mod whole;

pub use lines::{LineIndex, Position};
pub use sourced::{Sourced, Sources};

use serde::{Serialize, Serializer};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Name of a set's own file.
pub const SET_FILE: &str = "set.yaml";
/// The version of the authoring language that is read: `benchleaf:` in a set's own file.
pub const LANGUAGE: u32 = 1;
/// Name of a shop's file.
pub const WORKSHOP_FILE: &str = "workshop.yaml";

/// Name of the file that has a shop's defaults for options of the command line: nothing of it comes onto a card by itself.
pub const DEFAULTS_FILE: &str = "benchleaf.yaml";

/// Names a file of a [`FileSet`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(u32);

/// A byte range `start..end` in a file; always on character boundaries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    pub file: FileId,
    pub start: u32,
    pub end: u32,
    /// What it means isn't what stands there, letter by letter.
    uneven: bool,
}

/// Its ends alone: whoever is told knows the file.
impl Serialize for Span {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        (self.start, self.end).serialize(serializer)
    }
}

impl Span {
    pub fn new(file: FileId, start: usize, end: usize) -> Self {
        Span {
            file,
            start: start as u32,
            end: end as u32,
            uneven: false,
        }
    }

    /// The place of a text with escapes, line ends within it or another name: a place in the text is none in the file.
    pub fn uneven(self) -> Self {
        Span { uneven: true, ..self }
    }

    pub fn is_uneven(self) -> bool {
        self.uneven
    }

    /// The part `range` (relative to this span's start) of this span, kept inside it; all of it where its parts can't be told.
    pub fn slice(self, range: std::ops::Range<usize>) -> Self {
        if self.uneven {
            return self;
        }
        let end = self.start.saturating_add(range.end as u32).min(self.end);
        let start = self.start.saturating_add(range.start as u32).min(end);
        Span { start, end, ..self }
    }

    /// The same up to another end.
    pub fn up_to(self, end: u32) -> Self {
        Span { end, ..self }
    }

    /// The same place of another file.
    pub fn of_file(self, file: FileId) -> Self {
        Span { file, ..self }
    }

    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// A text file.
#[derive(Debug, Clone)]
pub struct SourceFile {
    /// Relative path with `/` between folders.
    pub path: String,
    pub text: String,
    /// Where the bytes stopped being UTF-8, if they did; the text then ends there.
    pub broken_at: Option<usize>,
    /// True if the file went on past [`MAX_FILE`]; what stands there was not read.
    pub cut: bool,
    /// What the bytes are, where they are not UTF-8 and it shows.
    pub encoding: Option<Encoding>,
    lines: LineIndex,
}

/// An encoding other than UTF-8 that gives itself away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    Utf16,
    /// One byte a character: Windows-1252, Latin-1 and the like.
    OneByte,
}

impl SourceFile {
    pub fn lines(&self) -> &LineIndex {
        &self.lines
    }

    /// The first line without a byte order mark: what to point at for faults of a whole file.
    pub fn head(&self) -> std::ops::Range<usize> {
        let text = self.text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(&self.text);
        let start = self.text.len() - text.len();
        let line = text.lines().next().unwrap_or("");
        start..start + line.trim_end().len()
    }
}

/// Every input of one compilation. A copy shares the bytes.
#[derive(Debug, Clone, Default)]
pub struct FileSet {
    /// In the order of paths, which is that of ids.
    files: Vec<(FileId, Arc<SourceFile>)>,
    /// Files that are not text of ours (pictures), by path.
    assets: Arc<BTreeMap<String, Vec<u8>>>,
}

/// May stand at the start of a file and is no part of its text.
pub const BYTE_ORDER_MARK: char = '\u{feff}';

/// Longest file taken, in bytes: spans are 32 bits wide, and no procedure is a hundredth of this.
pub const MAX_FILE: usize = crate::budgets::FILE.most;

impl FileSet {
    /// Sorts files into text (`.md`, `.yaml`) and assets (everything else).
    pub fn from_bytes(input: BTreeMap<String, Vec<u8>>) -> Self {
        let mut files = Vec::new();
        let mut assets = BTreeMap::new();
        for (path, mut bytes) in input {
            if !is_text(&path) {
                assets.insert(path, bytes);
                continue;
            }
            let cut = bytes.len() > MAX_FILE;
            bytes.truncate(MAX_FILE);
            let encoding = encoding(&bytes);
            let (text, broken_at) = match String::from_utf8(bytes) {
                Ok(text) => (text, None),
                Err(error) => {
                    let good = error.utf8_error().valid_up_to();
                    let mut bytes = error.into_bytes();
                    bytes.truncate(good);
                    (String::from_utf8(bytes).unwrap_or_default(), Some(good))
                }
            };
            let text = line_ends(text);
            let lines = LineIndex::new(&text);
            let file = SourceFile {
                path,
                text,
                broken_at,
                cut,
                encoding,
                lines,
            };
            files.push((FileId(files.len() as u32), Arc::new(file)));
        }
        FileSet {
            files,
            assets: Arc::new(assets),
        }
    }

    /// The same from text, for tests and in-memory callers.
    pub fn from_texts<'a>(input: impl IntoIterator<Item = (&'a str, &'a str)>) -> Self {
        Self::from_bytes(
            input
                .into_iter()
                .map(|(p, t)| (p.to_string(), t.as_bytes().to_vec()))
                .collect(),
        )
    }

    pub fn ids(&self) -> impl Iterator<Item = FileId> + use<> {
        let ids: Vec<FileId> = self.files.iter().map(|(id, _)| *id).collect();
        ids.into_iter()
    }

    /// The file, which must come from this set or from one that this is a part of and has it.
    #[expect(
        clippy::indexing_slicing,
        reason = "an id is given by the set of files that holds it"
    )]
    pub fn get(&self, id: FileId) -> &SourceFile {
        // All but parts of a set have each file at the place of its id.
        let at = match self.files.get(id.0 as usize) {
            Some((found, _)) if *found == id => id.0 as usize,
            _ => self.files.partition_point(|(other, _)| *other < id),
        };
        &self.files[at].1
    }

    pub fn text(&self, span: Span) -> &str {
        self.get(span.file).text.get(span.range()).unwrap_or("")
    }

    pub fn find(&self, path: &str) -> Option<FileId> {
        let at = self.files.binary_search_by(|(_, f)| f.path.as_str().cmp(path));
        at.ok().and_then(|at| self.files.get(at)).map(|(id, _)| *id)
    }

    /// Those whose paths are wanted. Ids stay what they are.
    pub fn only(&self, wanted: impl Fn(&str) -> bool) -> FileSet {
        let files = self.files.iter().filter(|(_, file)| wanted(&file.path));
        let assets = self.assets.iter().filter(|(path, _)| wanted(path));
        let assets = assets.map(|(path, bytes)| (path.clone(), bytes.clone()));
        FileSet {
            files: files.cloned().collect(),
            assets: Arc::new(assets.collect()),
        }
    }

    /// A part with these texts, in the order of their ids, and every asset. Ids stay what they are, and nothing is copied.
    pub fn part(&self, ids: &[FileId]) -> FileSet {
        let file = |id: &FileId| {
            let at = self.files.partition_point(|(other, _)| other < id);
            self.files.get(at).filter(|(other, _)| other == id).cloned()
        };
        FileSet {
            files: ids.iter().filter_map(file).collect(),
            assets: Arc::clone(&self.assets),
        }
    }

    pub fn assets(&self) -> &BTreeMap<String, Vec<u8>> {
        &self.assets
    }
}

/// Endings of files that sets are written in, and those that are taken for them by mistake: these are read to be told of.
pub const TEXT_ENDINGS: [&str; 8] = ["md", "yaml", "yml", "markdown", "mdown", "mkd", "mdwn", "txt"];

fn is_text(path: &str) -> bool {
    TEXT_ENDINGS.contains(&ending(path).as_str())
}

/// The ending of a path in small letters, without its dot; empty if it has none.
pub fn ending(path: &str) -> String {
    let name = file_name(path);
    name.rsplit_once('.')
        .map_or_else(String::new, |(_, ending)| ending.to_ascii_lowercase())
}

/// A carriage return without a line feed ended the lines of old Macintoshes; Markdown and YAML take it for a line end too. The text keeps
/// its length.
fn line_ends(text: String) -> String {
    let alone = |(at, _): (usize, &str)| text.as_bytes().get(at + 1) != Some(&b'\n');
    if !text.match_indices('\r').any(alone) {
        return text;
    }
    let mut chars = text.chars().peekable();
    let mut out = String::with_capacity(text.len());
    while let Some(c) = chars.next() {
        out.push(if c == '\r' && chars.peek() != Some(&'\n') {
            '\n'
        } else {
            c
        });
    }
    out
}

/// What bytes that are no UTF-8 are, where they tell.
fn encoding(bytes: &[u8]) -> Option<Encoding> {
    let error = std::str::from_utf8(bytes).err()?;
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Some(Encoding::Utf16);
    }
    // A byte above ASCII between two of ASCII stands for one character.
    let at = error.valid_up_to();
    let after = bytes.get(at + 1).is_none_or(u8::is_ascii);
    (bytes.get(at).is_some_and(|byte| *byte >= 0x80) && after).then_some(Encoding::OneByte)
}

/// The folder part of a path; empty for a file at the root.
pub fn folder(path: &str) -> &str {
    path.rsplit_once('/').map_or("", |(folder, _)| folder)
}

/// A folder and those above it, nearest first; the root is the empty path.
pub fn ancestors(path: &str) -> impl Iterator<Item = &str> {
    std::iter::successors(Some(path), |p| (!p.is_empty()).then(|| folder(p)))
}

/// The last part of a path.
pub fn file_name(path: &str) -> &str {
    path.rsplit_once('/').map_or(path, |(_, name)| name)
}

/// True if a folder is another one or lies below it.
pub fn lies_in(folder: &str, other: &str) -> bool {
    other.is_empty() || folder == other || folder.strip_prefix(other).is_some_and(|rest| rest.starts_with('/'))
}

/// Joins a folder and a relative path, resolving `.` and `..`; `None` if it leads above the root or is absolute.
pub fn join(folder: &str, relative: &str) -> Option<String> {
    if relative.starts_with('/') || relative.contains('\\') || relative.contains(':') {
        return None;
    }
    let mut parts: Vec<&str> = folder.split('/').filter(|p| !p.is_empty()).collect();
    for part in relative.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop()?;
            }
            part => parts.push(part),
        }
    }
    // A folder may be told from the root of the disk on.
    let root = if folder.starts_with('/') { "/" } else { "" };
    Some(format!("{root}{}", parts.join("/")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_that_stops_being_utf8_is_kept_up_to_there() {
        let set = FileSet::from_bytes(BTreeMap::from([("a.md".to_string(), b"ok\xff no".to_vec())]));
        let id = set.find("a.md").unwrap();
        assert_eq!((set.get(id).text.as_str(), set.get(id).broken_at), ("ok", Some(2)));
    }

    #[test]
    fn old_line_ends_are_line_ends() {
        let set = FileSet::from_bytes(BTreeMap::from([("a.md".to_string(), b"a\rb\r\nc\r".to_vec())]));
        let id = set.find("a.md").unwrap();
        assert_eq!(set.get(id).text, "a\nb\r\nc\n");
        assert_eq!(set.get(id).lines().position("a\nb\r\nc\n", 2).line, 2);
    }

    #[test]
    fn encodings_give_themselves_away() {
        assert_eq!(encoding("24 N·m".as_bytes()), None);
        assert_eq!(encoding(b"24 N\xb7m"), Some(Encoding::OneByte));
        assert_eq!(encoding(b"\xff\xfe2\x004\x00"), Some(Encoding::Utf16));
        assert_eq!(encoding(b"\xe2\x82"), None);
    }

    #[test]
    fn joining_never_leaves_the_root() {
        assert_eq!(join("a/b", "../c.svg").as_deref(), Some("a/c.svg"));
        assert_eq!(join("/a/b", "../c.svg").as_deref(), Some("/a/c.svg"));
        assert_eq!(join("a", "../../c.svg"), None);
        assert_eq!(join("a", "/c.svg"), None);
    }
}
