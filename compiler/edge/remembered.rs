//! Where codes were last seen, as an earlier command found out: history that is as it was gives the same answer.

use super::Trouble;
use super::cache::{Cache, Finished, Key};
use super::git::Repository;
use super::known::{Among, Known};
use super::walk::{By, Sighting, Walk};
use crate::fingerprint::Code;
use crate::groups::Groups;
use crate::source::FileSet;
use gix::ObjectId;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// What is kept of a search.
#[derive(Serialize, Deserialize)]
struct Kept {
    /// The newest commit that had the code; `None`: no commit has.
    at: Option<String>,
    /// The commit after it; `None` for the work tree, or where it isn't among those that lead here.
    by: Option<String>,
    aside: bool,
    wide: bool,
    /// The set that the leaf is of.
    set: String,
}

/// What is known of a code.
enum Remembered {
    Seen(Box<Sighting>),
    Never,
}

/// Where codes were last seen: in the folder that was asked about, then anywhere in the repository; as an earlier search found it where history is
/// as it was then.
///
/// # Errors
/// If a commit can't be read.
pub fn everywhere(
    repository: &Repository,
    codes: &BTreeSet<Code>,
    cache: Option<&Cache>,
) -> Result<BTreeMap<Code, Sighting>, Trouble> {
    let mut known = BTreeMap::new();
    let mut open = codes.clone();
    for (cache, code) in codes.iter().filter_map(|code| Some((cache?, code))) {
        match find(repository, cache, code) {
            Some(Remembered::Seen(sighting)) => {
                known.insert(*code, *sighting);
                open.remove(code);
            }
            Some(Remembered::Never) => {
                open.remove(code);
            }
            None => {}
        }
    }
    if open.is_empty() {
        return Ok(known);
    }
    let found = Walk::everywhere(repository, &open)?;
    for (cache, code) in open.iter().filter_map(|code| Some((cache?, code))) {
        keep(repository, cache, code, found.get(code));
    }
    known.extend(found);
    Ok(known)
}

/// The history that a search goes through, and the code: another commit or branch anywhere is another question.
fn key(repository: &Repository, code: &Code) -> Option<Key> {
    let head = repository.head().ok()??;
    let mut making = Key::of("sighting");
    making.add(repository.scope().as_bytes());
    making.add(head.to_string().as_bytes());
    making.add(&[u8::from(repository.is_shallow())]);
    making.add(code.to_string().as_bytes());
    for tip in repository.tips() {
        making.add(tip.to_string().as_bytes());
    }
    Some(making.key())
}

fn id(hex: &str) -> Option<ObjectId> {
    ObjectId::from_hex(hex.as_bytes()).ok()
}

/// What an earlier search found out about a code; `None` if there was none, or it can't be right.
fn find(repository: &Repository, cache: &Cache, code: &Code) -> Option<Remembered> {
    let finished = cache.find(&key(repository, code)?, &code.to_string())?;
    let kept: Kept = serde_json::from_slice(finished.files.first()?).ok()?;
    let Some(at) = kept.at else {
        return Some(Remembered::Never);
    };
    let at = repository.commit(id(&at)?).ok()?;
    let files = match kept.wide {
        true => repository.all_files(at.id).ok()?.files,
        false => repository.files(at.id).ok()?.files,
    };
    let card = leaves_of(&files, &kept.set)?
        .into_iter()
        .find(|leaf| leaf.code == *code)?;
    let by = match kept.by {
        Some(by) => By::Commit(repository.commit(id(&by)?).ok()?),
        None if kept.aside => By::Aside,
        None => By::WorkTree,
    };
    Some(Remembered::Seen(Box::new(Sighting {
        card,
        at,
        by,
        wide: kept.wide,
    })))
}

/// The leaves of the part of a state that a set lies in.
fn leaves_of(files: &FileSet, set: &str) -> Option<Vec<Known>> {
    let groups = Groups::new(files);
    let part = (0..groups.count()).find(|part| groups.ids(*part).any(|id| id == set))?;
    Some(Among::All.of(&groups.files(part), &groups.compile(part)))
}

/// Keeps what a search found out about a code.
fn keep(repository: &Repository, cache: &Cache, code: &Code, sighting: Option<&Sighting>) {
    let Some(key) = key(repository, code) else {
        return;
    };
    let by = sighting.and_then(|sighting| match &sighting.by {
        By::Commit(commit) => Some(commit.id.to_string()),
        By::WorkTree | By::Aside => None,
    });
    let kept = Kept {
        at: sighting.map(|sighting| sighting.at.id.to_string()),
        by,
        aside: sighting.is_some_and(|sighting| matches!(sighting.by, By::Aside)),
        wide: sighting.is_some_and(|sighting| sighting.wide),
        set: sighting.map_or_else(String::new, |sighting| sighting.card.set.clone()),
    };
    // Strings and truth values always serialise.
    let text = serde_json::to_vec(&kept).unwrap_or_default();
    let finished = Finished {
        files: vec![text],
        leaves: 0,
        remarks: Vec::new(),
    };
    cache.keep(&key, &finished);
}
