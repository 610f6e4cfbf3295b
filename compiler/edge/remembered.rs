//! Where codes were last seen, and since when cards are what they are, as an earlier command found out: history that is as it was gives the same
//! answer.

use super::Trouble;
use super::cache::{Cache, Finished, Key, Making};
use super::git::Repository;
use super::issue::Issues;
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
    let mut making = history("sighting", repository)?;
    making.add(code.to_string().as_bytes());
    for tip in repository.tips() {
        making.add(tip.to_string().as_bytes());
    }
    Some(making.key())
}

fn id(hex: &str) -> Option<ObjectId> {
    ObjectId::from_hex(hex.as_bytes()).ok()
}

/// Since when the cards of some codes are what they are: as [`Issues::read`] says, or as an earlier search found it where history and these
/// cards are as they were then.
///
/// # Errors
/// If nothing is committed, or a commit can't be read.
pub fn issues(
    repository: &Repository,
    current: &[Known],
    codes: &BTreeSet<Code>,
    cache: Option<&Cache>,
) -> Result<Issues, Trouble> {
    let kept = cache.zip(history("issues", repository).map(|mut making| {
        for leaf in current.iter().filter(|leaf| codes.contains(&leaf.code)) {
            // Debug writes names so that none can pass for two.
            let name = (&leaf.set, &leaf.procedure, &leaf.choices, leaf.code.to_string());
            making.add(format!("{name:?}").as_bytes());
        }
        making.key()
    }));
    let known = kept.as_ref().and_then(|(cache, key)| cache.find(key, "issues"));
    let known = known.and_then(|known| serde_json::from_slice(known.files.first()?).ok());
    if let Some(known) = known {
        return Ok(Issues::kept(known));
    }
    let found = Issues::read(repository, current, Some(codes))?;
    if let Some((cache, key)) = kept {
        cache.keep(&key, &entry(&found.all()));
    }
    Ok(found)
}

/// An entry of the cache that holds an answer.
fn entry(answer: &impl Serialize) -> Finished {
    Finished {
        // Strings and truth values always serialise.
        files: vec![serde_json::to_vec(answer).unwrap_or_default()],
        leaves: 0,
        remarks: Vec::new(),
    }
}

/// The main line that a search goes through: another commit is another question.
fn history(what: &str, repository: &Repository) -> Option<Making> {
    let head = repository.head().ok()??;
    let mut making = Key::of(what);
    making.add(repository.scope().as_bytes());
    making.add(head.to_string().as_bytes());
    making.add(&[u8::from(repository.is_shallow())]);
    Some(making)
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
    cache.keep(&key, &entry(&kept));
}
