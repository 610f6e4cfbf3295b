//! What we know of a folder of cards: the files in it that are ours, and where they came from. One JSON file a set, in the folder
//! `.benchleaf` beside the sets' folders.

use crate::edge::Trouble;
use crate::edge::disk::{Disk, Kind, replace, there};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::Path;

/// Raised when older programs could no longer read it.
const VERSION: u32 = 1;

/// One set's folder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    pub version: u32,
    /// The folder's name.
    pub set: String,
    /// The set's own folder as seen from the output folder, `/` between its parts.
    pub source: String,
    /// Digest of all that the set was read from when its cards were last put in place; empty where nobody knows.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub from: String,
    /// Our files by name, as they are or, while some are being put in place, as they will be.
    pub files: BTreeMap<String, Entry>,
    /// What is under way; `None` when all is done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub installing: Option<Installing>,
}

/// A file of ours.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    pub kind: EntryKind,
    /// Id of the procedure; empty for a leaf about the whole set.
    pub procedure: String,
    /// The choices that somebody made, value by option.
    pub choices: BTreeMap<String, String>,
    /// The card's check code; empty for a leaf that has none.
    pub code: String,
    /// Digest of what a leaf without a code says; empty where it isn't known.
    pub says: String,
    /// The file's name without the number of its leaf and the ending.
    pub document: String,
    /// `pdf`, `png`, `svg`.
    pub ending: String,
    /// Digest of its bytes.
    pub sha256: String,
}

/// Kinds of leaf, as far as they grow old in different ways.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum EntryKind {
    Card,
    SetSheet,
    CloseOut,
    Pocket,
    Form,
    /// A kit, a plan, a record, a change sheet.
    Sheet,
}

/// A set whose files are being changed. While this is on the disk, each old file is still there, in place or kept aside, and so is each
/// new one, in place or staged.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Installing {
    /// Name of the folder that holds the new files (`new/<set>/`) and the old ones (`old/<set>/`).
    pub staging: String,
    /// The source and the files before it.
    pub source: String,
    pub files: BTreeMap<String, Entry>,
    /// Names that get new bytes, and names that go.
    pub writes: BTreeSet<String>,
    pub removals: BTreeSet<String>,
}

impl Manifest {
    pub fn new(set: &str, source: &str) -> Manifest {
        Manifest {
            version: VERSION,
            set: set.to_string(),
            source: source.to_string(),
            from: String::new(),
            files: BTreeMap::new(),
            installing: None,
        }
    }

    /// Reads one. Names in it that lead anywhere else make it unreadable: it may have come with somebody's repository.
    ///
    /// # Errors
    /// If it can't be read.
    pub fn read(disk: &dyn Disk, path: &Path) -> Result<Manifest, Trouble> {
        let trouble = |words: String| {
            Trouble::new(format!(
                "{} can't be read ({words}): take it away, and move its cards aside so that they aren't in the way of new ones",
                crate::edge::escape::path(path)
            ))
        };
        let stat = disk.stat(path).map_err(|e| trouble(e.to_string()))?;
        if stat.kind != Kind::File {
            return Err(trouble("it is no regular file".to_string()));
        }
        let bytes = disk.read(path).map_err(|e| trouble(e.to_string()))?;
        let manifest: Manifest = serde_json::from_slice(&bytes).map_err(|e| trouble(e.to_string()))?;
        if manifest.version != VERSION {
            let words = match manifest.version > VERSION {
                true => "a later benchleaf wrote it: build with that one, or give another `--out`; else",
                false => "no benchleaf writes such a one",
            };
            return Err(trouble(words.to_string()));
        }
        let installing = manifest.installing.iter();
        let names = installing.flat_map(|i| i.files.keys().chain(&i.writes).chain(&i.removals).chain([&i.staging]));
        let mut names = names.chain(manifest.files.keys()).chain([&manifest.set]);
        if let Some(name) = names.find(|name| !is_plain(name)) {
            return Err(trouble(format!(
                "`{}` is no name of a file",
                crate::edge::escape::word(name)
            )));
        }
        drop(names);
        Ok(manifest)
    }

    /// Writes it whole.
    ///
    /// # Errors
    /// If it can't be written; then the one before it still stands.
    pub fn write(&self, disk: &dyn Disk, path: &Path) -> io::Result<()> {
        let mut bytes = serde_json::to_vec_pretty(self).map_err(io::Error::other)?;
        bytes.push(b'\n');
        replace(disk, path, &bytes)
    }
}

/// True for the name of a file or folder of ours: it leads nowhere else and isn't hidden.
pub fn is_plain(name: &str) -> bool {
    is_plain_there(name, cfg!(windows))
}

/// The same where drives have letters or haven't: there `c:name` lies on another drive, and `name:c` inside a file.
fn is_plain_there(name: &str, drives: bool) -> bool {
    let strange = |c: char| c.is_control() || matches!(c, '/' | '\\') || (drives && c == ':');
    !name.is_empty() && !name.starts_with('.') && !name.contains(strange)
}

/// The digest of some bytes.
pub fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// What is at a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Found {
    Nothing,
    /// A regular file, by the digest of its bytes.
    File(String),
    /// A link, a folder or another thing that we never make.
    Other,
}

impl Found {
    /// True if it is the file of an entry, byte for byte.
    pub fn is(&self, entry: Option<&Entry>) -> bool {
        matches!((self, entry), (Found::File(sha256), Some(entry)) if *sha256 == entry.sha256)
    }
}

/// Looks what is at a place.
///
/// # Errors
/// If it can't be read.
pub fn look(disk: &dyn Disk, path: &Path) -> io::Result<Found> {
    let stat = match there(disk, path)? {
        None => return Ok(Found::Nothing),
        Some(stat) if stat.kind == Kind::File => stat,
        Some(_) => return Ok(Found::Other),
    };
    let bytes = disk.read(path)?;
    if bytes.len() as u64 != stat.len {
        return Err(io::Error::other("it changed while it was read"));
    }
    Ok(Found::File(digest(&bytes)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_leads_nowhere_else() {
        for name in ["02-strip+seal=stack.pdf", "Bilge pump"] {
            assert!(is_plain_there(name, true) && is_plain_there(name, false), "{name}");
        }
        for name in ["", ".hidden", "..", "a/b", r"..\b", "a\nb"] {
            assert!(!is_plain_there(name, true) && !is_plain_there(name, false), "{name}");
        }
        assert!(!is_plain_there("c:strip.pdf", true) && is_plain_there("c:strip.pdf", false));
    }
}
