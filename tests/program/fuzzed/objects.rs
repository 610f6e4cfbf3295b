//! Repositories of objects that somebody made up: names, modes and parents that git would never write, objects under names that aren't theirs,
//! packs and references with bytes changed. The program's reader of history answers or says why not; what it answers is what another reader finds in
//! objects whose content is what their names say, and no path of it leads out of the folder.

use super::reference::{Sound, Unsure, is_text};
use super::{folder, parts, put, replaced};
use crate::program::pack::{Object, packed, stored};
use benchleaf::edge::git::Repository;
use benchleaf::edge::history::{State, between};
use benchleaf::edge::walk::Walk;
use benchleaf_core::fingerprint::Code;
use gix::ObjectId;
use gix::hash::Kind as Hash;
use gix::objs::{Kind, compute_hash};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Component, Path};

/// More than anybody needs to find a fault by.
const MOST: usize = 60;

/// What was made of a text.
#[derive(Default)]
struct Made {
    /// Ids by the names that the text has for them.
    names: BTreeMap<String, ObjectId>,
    sound: Sound,
    /// Those that lie where they belong, as they are.
    plain: BTreeSet<ObjectId>,
    /// Revisions that are asked about.
    asked: Vec<String>,
}

impl Made {
    /// The object of a name; that of no object for a name that nothing has.
    fn id(&self, name: &str) -> ObjectId {
        let known = self
            .names
            .get(name)
            .copied()
            .or_else(|| ObjectId::from_hex(name.as_bytes()).ok());
        known.unwrap_or_else(|| hash(Kind::Blob, name.as_bytes()))
    }

    /// A text with names in braces exchanged for ids.
    fn filled(&self, text: &str) -> Vec<u8> {
        let mut out = text.as_bytes().to_vec();
        for (name, id) in &self.names {
            out = replaced(&out, format!("{{{name}}}").as_bytes(), id.to_string().as_bytes());
        }
        out
    }

    /// The content of a folder: a line an entry, with mode, object and name.
    fn tree(&self, body: &str) -> Vec<u8> {
        let mut out = Vec::new();
        for line in body.lines() {
            let mut words = line.splitn(3, ' ');
            let [mode, object, name] = [(); 3].map(|()| words.next().unwrap_or_default());
            out.extend_from_slice(format!("{mode} {name}\0").as_bytes());
            out.extend_from_slice(self.id(object).as_bytes());
        }
        out
    }
}

fn hash(kind: Kind, data: &[u8]) -> ObjectId {
    compute_hash(Hash::Sha1, kind, data).expect("a sum")
}

fn kind(word: &str) -> Option<Kind> {
    Kind::from_bytes(word.as_bytes()).ok()
}

/// True for a path of names below the folder of git's own, which is not what other folders it might look into.
fn is_own(path: &str) -> bool {
    let normal = Path::new(path)
        .components()
        .all(|part| matches!(part, Component::Normal(_)));
    normal && path.is_ascii() && path.len() < 100 && !path.contains("alternates") && !path.contains('\0')
}

/// Writes a repository of a text.
///
/// ```text
/// === blob NAME          an object; `as OTHER` keeps it under another's name, `packed` in the pack, `bare` as it is, `gone` nowhere
/// === tree NAME          lines of MODE OBJECT NAME
/// === commit NAME        as git has it, names of objects in braces
/// === file PATH          what else lies there
/// === harm WHAT AT BYTE  a byte changed in the pack, its index or a file
/// === ask                revisions, one a line
/// ```
fn made(place: &Path, text: &str) -> std::io::Result<Made> {
    let git = place.join(".git");
    let mut made = Made::default();
    let (mut pack, mut harms) = (Vec::new(), Vec::new());
    for (path, bytes) in [
        ("HEAD", "ref: refs/heads/main\n"),
        ("config", "[core]\n\trepositoryformatversion = 0\n"),
        ("refs/none", ""),
    ] {
        put(&git, path, bytes.as_bytes())?;
    }
    std::fs::create_dir_all(git.join("objects"))?;
    for (head, body) in parts(text).into_iter().take(MOST) {
        let words: Vec<&str> = head.split(' ').collect();
        let name = words.get(1).copied().unwrap_or_default();
        let Some(kind) = kind(words[0]) else {
            match words[0] {
                "file" if is_own(name) => {
                    // A file where a folder is, or the other way round, can't be written.
                    let _ = put(&git, name, &made.filled(body));
                }
                "harm" => harms.push(words),
                "ask" => made.asked.extend(body.lines().take(6).map(String::from)),
                _ => {}
            }
            continue;
        };
        // An empty line at its end parts it from what follows.
        let body = body
            .strip_suffix("\n\n")
            .map_or(body.to_string(), |body| format!("{body}\n"));
        let data = match kind {
            Kind::Tree => made.tree(&body),
            _ => made.filled(&body),
        };
        let id = hash(kind, &data);
        made.names.insert(name.to_string(), id);
        made.sound.objects.insert(id, (kind, data.clone()));
        let under = words
            .iter()
            .position(|word| *word == "as")
            .and_then(|at| words.get(at + 1));
        let under = under.map_or(id, |other| made.id(other));
        if words.contains(&"packed") {
            pack.push(Object { id: under, kind, data });
        } else if !words.contains(&"gone") {
            let whole = [format!("{kind} {}\0", data.len()).into_bytes(), data].concat();
            let bytes = if words.contains(&"bare") { whole } else { stored(&whole) };
            let hex = under.to_string();
            put(&git, &format!("objects/{}/{}", &hex[..2], &hex[2..]), &bytes)?;
            if !words.contains(&"bare") && under == id {
                made.plain.insert(id);
            } else {
                made.plain.remove(&under);
            }
        }
    }
    if !pack.is_empty() {
        pack.sort_by_key(|object| object.id);
        pack.dedup_by_key(|object| object.id);
        let (pack, index, name) = packed(pack);
        for (ending, mut bytes) in [("pack", pack), ("idx", index)] {
            for harm in harms.iter().filter(|harm| harm.get(1) == Some(&ending)) {
                damage(&mut bytes, harm);
            }
            put(&git, &format!("objects/pack/pack-{name}.{ending}"), &bytes)?;
        }
    }
    for harm in &harms {
        let path = git.join(harm.get(1).copied().unwrap_or_default());
        if is_own(harm.get(1).copied().unwrap_or_default())
            && let Ok(mut bytes) = std::fs::read(&path)
        {
            damage(&mut bytes, harm);
            std::fs::write(&path, bytes)?;
            made.plain.clear();
        }
    }
    Ok(made)
}

/// Changes one byte, or ends with it.
fn damage(bytes: &mut Vec<u8>, harm: &[&str]) {
    let number = |at: usize| {
        harm.get(at)
            .and_then(|word| word.parse::<usize>().ok())
            .unwrap_or_default()
    };
    let (at, byte) = (number(2) % bytes.len().max(1), number(3));
    match bytes.get_mut(at) {
        Some(_) if byte > 255 => bytes.truncate(at),
        Some(there) => *there = byte as u8,
        None => {}
    }
}

/// What a code may end with: one of them makes one that no leaf has.
const CODE_ENDS: &str = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// Reads what is asked about, as `diff` and `stale` do.
///
/// # Errors
/// What is not as it must be.
pub fn hold(_: &Path, bytes: &[u8]) -> Result<(), String> {
    let text = String::from_utf8_lossy(bytes);
    let place = folder();
    let made =
        made(&place, &text).and_then(|made| put(&place, "pump/set.yaml", b"machine: A\ntitle: A\n").map(|()| made));
    // What the disk doesn't take was no repository.
    let result = made.map_or(Ok(()), |made| read(&place, &made));
    let _ = std::fs::remove_dir_all(&place);
    result
}

fn read(place: &Path, made: &Made) -> Result<(), String> {
    for below in ["", "pump"] {
        let Ok(Some(repository)) = Repository::find(&place.join(below)) else {
            continue;
        };
        let mut found = Vec::new();
        for text in &made.asked {
            if let Ok((older, newer)) = repository.range(text) {
                found.push(older);
                found.extend(newer);
            }
        }
        found.dedup();
        for id in &found {
            look(&repository, *id, made)?;
        }
        let _ = (repository.head(), repository.is_shallow());
        for tip in repository.tips() {
            look(&repository, tip, made)?;
        }
        let states: Vec<State> = found
            .iter()
            .take(2)
            .filter_map(|id| State::at(&repository, *id, "").ok())
            .collect();
        if let [older, newer] = &states[..] {
            let _ = between(older, newer);
        }
        // Below the folder it looks there first, and then everywhere.
        let mut codes = CODE_ENDS.chars().map(|last| Code::parse(&format!("AAAA-AAA{last}")));
        if let Some(code) = codes.find_map(Result::ok).filter(|_| !below.is_empty()) {
            let _ = Walk::everywhere(&repository, &BTreeSet::from([code]));
        }
    }
    Ok(())
}

/// What is said of a commit is what it holds.
fn look(repository: &Repository, id: ObjectId, made: &Made) -> Result<(), String> {
    if let (Ok(commit), Some(parents)) = (repository.commit(id), made.sound.parents(id))
        && !commit.cut_off
        && commit.parents.iter().any(|parent| !parents.contains(parent))
    {
        return Err(format!(
            "the parents of {id} are {:?}, and it names {parents:?}",
            commit.parents
        ));
    }
    let _ = (repository.key(id), repository.whole_key(id), repository.files(id));
    let (all, held) = (repository.all_files(id), made.sound.files(id));
    let all = match (all, &held) {
        (Err(trouble), Ok(held)) if held.way.iter().all(|id| made.plain.contains(id)) => {
            return Err(format!("{id} can be read, and isn't: {}", trouble.0));
        }
        (Err(_), _) => return Ok(()),
        (Ok(_), Err(Unsure::Broken)) => return Err(format!("{id} can't be read, and is")),
        (Ok(all), _) => all,
    };
    for (path, object) in &all.ids {
        let leads_out = |part: &str| matches!(part, "" | "." | "..") || part.contains('\0');
        if path.split('/').any(leads_out) {
            return Err(format!("a path that leads elsewhere: {path:?}"));
        }
        let (kind, data) = made
            .sound
            .objects
            .get(object)
            .ok_or(format!("{path}: nothing is {object}"))?;
        if *kind != Kind::Blob {
            return Err(format!("{path} is a {kind}"));
        }
        let id = all.files.find(path);
        let text = id.map(|id| all.files.get(id).text.as_str());
        let plain = |text: &str| text.trim_start_matches('\u{feff}').replace('\r', "\n");
        let own = std::str::from_utf8(data).ok().map(plain);
        if text.zip(own).is_some_and(|(text, own)| plain(text) != own) {
            return Err(format!("{path} holds another text than {object}"));
        }
    }
    let texts: BTreeMap<String, ObjectId> = all.ids.into_iter().filter(|(path, _)| is_text(path)).collect();
    match held {
        Ok(held) if held.files != texts => Err(format!("{id} holds {:?}, and {texts:?} is read", held.files)),
        _ => Ok(()),
    }
}
