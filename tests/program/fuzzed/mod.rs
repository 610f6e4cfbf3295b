//! What is asked of bytes that reach the program from outside: an editor's messages, a browser's requests, what git keeps. They go into what the
//! program itself calls, in this process, so that a fuzzer sees what they reach; `tests/fuzz/` has its targets, the program's suite makes a short
//! run of each.

pub mod kept;
pub mod messages;
pub mod objects;
pub mod reference;
pub mod requests;
pub mod said;

use crate::harness::fuzz::Chance;
use crate::harness::fuzz::change::{changed, crossed};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

/// What bytes are taken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// What an editor says in a conversation, from its first byte to its last.
    Messages,
    /// What comes over a connection to the preview.
    Requests,
    /// The objects of a repository, and what else git keeps.
    Objects,
}

impl Edge {
    pub const ALL: [Edge; 3] = [Edge::Messages, Edge::Requests, Edge::Objects];

    /// Its name, of which `tests/fuzz/targets/` has a file.
    pub fn name(self) -> &'static str {
        match self {
            Edge::Messages => "messages",
            Edge::Requests => "requests",
            Edge::Objects => "objects",
        }
    }

    /// What it starts from.
    pub fn seeds(self) -> Vec<String> {
        match self {
            Edge::Messages => said::seeds(),
            Edge::Requests => requests::seeds(),
            Edge::Objects => kept::seeds(),
        }
    }

    /// Asks of bytes what this target asks; `place` is an empty folder for what they need on a disk.
    ///
    /// # Errors
    /// What is not as it must be.
    pub fn run(self, place: &Path, bytes: &[u8]) -> Result<(), String> {
        match self {
            Edge::Messages => messages::hold(place, bytes),
            Edge::Requests => requests::hold(bytes),
            Edge::Objects => objects::hold(place, bytes),
        }
    }

    /// A text with some changes, no longer than `most` bytes.
    pub fn changed(self, text: &str, seed: u64, most: usize) -> String {
        let mut chance = Chance::new(seed);
        let mut out = text.to_string();
        for _ in 0..=chance.below(4) {
            out = match chance.below(6) {
                // As the files of a set are changed: pieces, lines, numbers.
                0 => changed(&out, chance.below(usize::MAX) as u64, most),
                1 => between_parts(&out, &mut chance),
                _ => match self {
                    Edge::Messages => said::changed(&out, &mut chance),
                    Edge::Requests => requests::changed(&out, &mut chance),
                    Edge::Objects => kept::changed(&out, &mut chance),
                },
            };
        }
        out.truncate(out.floor_char_boundary(most.min(out.len())));
        out
    }

    /// The start of one text and the end of another.
    pub fn crossed(self, one: &str, other: &str, seed: u64, most: usize) -> String {
        crossed(one, other, seed, most)
    }
}

/// What stands before each part of a text, with a kind and words behind it.
const PART: &str = "=== ";

/// The parts of a text: the line that each begins with, and what follows.
fn parts(text: &str) -> Vec<(&str, &str)> {
    let all = text.split(PART).skip(1);
    all.map(|part| part.split_once('\n').unwrap_or((part, ""))).collect()
}

fn whole(parts: &[(String, String)]) -> String {
    let one = |(head, body): &(String, String)| format!("{PART}{head}\n{body}");
    parts.iter().map(one).collect()
}

fn owned(text: &str) -> Vec<(String, String)> {
    let one = |(head, body): (&str, &str)| (head.to_string(), body.to_string());
    parts(text).into_iter().map(one).collect()
}

/// A part deleted, doubled, or moved.
fn between_parts(text: &str, chance: &mut Chance) -> String {
    let mut all = owned(text);
    if all.is_empty() {
        return text.to_string();
    }
    let (at, to) = (chance.below(all.len()), chance.below(all.len()));
    match chance.below(3) {
        0 => drop(all.remove(at)),
        1 => all.insert(to, all[at].clone()),
        _ => all.swap(at, to),
    }
    whole(&all)
}

/// All of a piece exchanged for another.
fn replaced(bytes: &[u8], piece: &[u8], by: &[u8]) -> Vec<u8> {
    let mut out = Vec::with_capacity(bytes.len());
    let mut rest = bytes;
    while let Some(at) = rest.windows(piece.len()).position(|window| window == piece) {
        out.extend_from_slice(&rest[..at]);
        out.extend_from_slice(by);
        rest = &rest[at + piece.len()..];
    }
    out.extend_from_slice(rest);
    out
}

/// A folder for temporary files that no other has; whoever takes one clears it away.
pub fn folder() -> PathBuf {
    static COUNT: AtomicUsize = AtomicUsize::new(0);
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    let name = format!("benchleaf-fuzzed-{}-{count}", std::process::id());
    let folder = std::env::temp_dir().join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    folder
}

/// Writes a file below a folder.
fn put(place: &Path, path: &str, bytes: &[u8]) -> std::io::Result<()> {
    let place = place.join(path);
    if let Some(folder) = place.parent() {
        std::fs::create_dir_all(folder)?;
    }
    std::fs::write(place, bytes)
}
