//! All that git keeps, damaged at random: objects by themselves and packed, the index to a pack, references, what HEAD stands for. A question about
//! history is answered as it was before, or not at all. Which damage it is hangs on a seed.

use crate::harness::fixture::walk;
use crate::harness::fuzz::Chance;
use crate::program::Scratch;
use crate::program::pack::{Object, packed, stored};
use crate::program::repository::{Repository, texts};
use gix::ObjectId;
use gix::objs::Kind;
use std::fs;
use std::path::{Path, PathBuf};

const SET: &str = "machine: Invented pump\ntitle: Pump\nrev: A\n";

fn close(torque: usize) -> String {
    format!(
        "---\ntitle: Close\ntorques:\n  cover: {{name: cover screws, torque: {torque} N·m, count: 6, lubrication: dry}}\n---\n\n1. Tighten the [torque cover].\n"
    )
}

/// Questions that go different ways through history.
const COMMANDS: [&str; 5] = [
    "diff HEAD~2 --at pump",
    "diff HEAD^2 HEAD --at pump",
    "diff main~1...side --at pump",
    "diff side~1 --at pump",
    "diff HEAD --at pump",
];

/// Two lines of work that were brought together, each state with a figure of its own, so that no two give the same answer.
///
/// ```text
/// first ── second ── third ── together   main
///     └──── other ── aside ──┘           side
/// ```
fn history(name: &str) -> Repository {
    let mut repository = Repository::new(name, false);
    let state = |torque| texts(&[("pump/set.yaml", SET), ("pump/10-close.md", &close(torque))]);
    let first = repository.commit("main", "First", &state(5), &[]);
    let second = repository.commit("main", "Second", &state(6), &[first]);
    let other = repository.commit("side", "Other", &state(7), &[first]);
    let aside = repository.commit("side", "Aside", &state(8), &[other]);
    let third = repository.commit("main", "Third", &state(9), &[second]);
    repository.commit("main", "Together", &state(10), &[third, aside]);
    repository.check_out(&state(10));
    repository
}

/// Files of the store that answers come from, in order.
fn kept(scratch: &Scratch) -> Vec<PathBuf> {
    let root = scratch.path().join(".git");
    let ours = ["objects", "refs", "packed-refs", "HEAD", "config"];
    let all = ours.iter().map(|name| root.join(name)).filter(|path| path.exists());
    all.flat_map(|path| if path.is_dir() { walk(&path) } else { vec![path] })
        .collect()
}

/// What a disk, a program that broke off or somebody might have made of a file; `others` are whole files to mix in.
fn damage(whole: &[u8], others: &[Vec<u8>], chance: &mut Chance) -> Vec<u8> {
    let mut bytes = whole.to_vec();
    if bytes.is_empty() {
        return vec![chance.below(256) as u8];
    }
    let at = chance.below(bytes.len());
    let end = (at + 1 + chance.below(24)).min(bytes.len());
    match chance.below(7) {
        0 | 1 => bytes[at] ^= 1 << chance.below(8),
        2 => bytes[at] = chance.below(256) as u8,
        3 => drop(bytes.drain(at..end)),
        4 => bytes.truncate(at),
        5 => bytes[at..end].fill(0),
        _ => {
            let other = &others[chance.below(others.len())];
            let from = chance.below(other.len() + 1);
            let piece = &other[from..(from + end - at).min(other.len())];
            bytes.splice(at..end, piece.iter().copied());
        }
    }
    bytes
}

/// The same of an object, packed rightly again or in place of another, so that only its name can tell.
fn disguised(repository: &Repository, name: &str, chance: &mut Chance) -> Vec<u8> {
    let loose = repository.loose();
    let (other, place) = &loose[chance.below(loose.len())];
    if chance.below(2) == 0 && other != name {
        return fs::read(place).expect("an object of ours");
    }
    let text = repository.object(name);
    stored(&damage(&text, &[repository.object(other)], chance))
}

fn put(place: &Path, bytes: &[u8]) {
    // Git makes its objects read-only.
    let _ = fs::remove_file(place);
    fs::write(place, bytes).expect("a file of ours");
}

fn run(scratch: &Scratch, command: &str) -> (String, String, Option<i32>) {
    let words: Vec<String> = command.split_whitespace().map(str::to_string).collect();
    scratch.run(&words)
}

pub fn damaged(rounds: usize) -> Vec<String> {
    let mut faults = Vec::new();
    for (layout, seed) in [("loose", 18), ("packed", 19)] {
        let repository = history(&format!("store-{layout}-{rounds}"));
        let scratch = &repository.scratch;
        let right: Vec<_> = COMMANDS.iter().map(|command| run(scratch, command)).collect();
        if layout == "packed" {
            repository.pack();
            let now: Vec<_> = COMMANDS.iter().map(|command| run(scratch, command)).collect();
            if now != right {
                faults.push(format!("packed, the answers are others: {now:?}\nfor {right:?}"));
            }
        }
        let differ = right.iter().filter(|answer| answer.0.contains("N·m")).count();
        if differ < 4 || right.iter().any(|answer| answer.2 == Some(2)) {
            faults.push(format!("the history isn't what this trial takes it for: {right:?}"));
        }
        let mut chance = Chance::new(seed);
        let files = kept(scratch);
        let loose = repository.loose();
        let mut refused = 0;
        for round in 0..rounds {
            let place = &files[chance.below(files.len())];
            let whole = fs::read(place).expect("a file of ours");
            let object = loose.iter().find(|(_, object)| object == place);
            let bytes = match object.filter(|_| chance.below(2) == 0) {
                Some((name, _)) => disguised(&repository, name, &mut chance),
                None => {
                    let others: Vec<_> = files.iter().filter_map(|file| fs::read(file).ok()).collect();
                    damage(&whole, &others, &mut chance)
                }
            };
            put(place, &bytes);
            let which = chance.below(COMMANDS.len());
            let now = run(scratch, COMMANDS[which]);
            put(place, &whole);
            if now != right[which] {
                refused += 1;
                if now.2 != Some(2) || !now.0.is_empty() || now.1.is_empty() || now.1.contains("panicked") {
                    let (what, command) = (place.display(), COMMANDS[which]);
                    faults.push(format!(
                        "round {round}: `{command}` with {what} damaged: {now:?}\n{bytes:?}"
                    ));
                }
            }
        }
        println!("{layout}: {rounds} runs with a damaged file, {refused} of them refused");
        if refused * 8 < rounds {
            faults.push(format!("{layout}: only {refused} of {rounds} runs met the damage"));
        }
    }
    faults
}

/// An object may promise any size, in a few bytes: nobody makes room for it.
pub fn promised(_: &Scratch) -> Vec<String> {
    let repository = history("promised");
    let (name, place) = repository
        .loose()
        .into_iter()
        .find(|(name, _)| repository.object(name).starts_with(b"blob ") && has(&repository.object(name), b"10 N"))
        .expect("the newest procedure");
    let text = repository.object(&name);
    let start = text.iter().position(|byte| *byte == 0).expect("a head") + 1;
    let mut faults = Vec::new();
    let mut told = |what: &str| {
        let (out, code, _) = super::super::bounded(&repository.scratch, "diff HEAD --at pump");
        if code != Some(2) || !out.contains("git") {
            faults.push(format!("{what}: {code:?}: {out}"));
        }
    };
    // By itself, with a size in its head that nothing follows.
    for size in ["99999999999", "9223372036854775807", "18446744073709551616"] {
        let head = format!("blob {size}\0");
        put(&place, &stored(&[head.as_bytes(), &text[start..]].concat()));
        told(size);
    }
    // Packed, under its right name.
    let id = ObjectId::from_hex(name.as_bytes()).expect("an id");
    let data = text[start..].to_vec();
    let (kind, base) = (Kind::Blob, data.len());
    let (mut pack, index, name) = packed(vec![Object { id, kind, data }]);
    // The head of its one entry lies behind that of the pack, and takes two bytes more for each seven bits of a size.
    let entry = 12;
    let taken = if base < 16 { 1 } else { 2 };
    pack.splice(entry..entry + taken, [0xbf, 0xff, 0xff, 0xff, 0xff, 0x0f]);
    fs::remove_file(&place).expect("an object of ours");
    for (ending, bytes) in [("pack", pack), ("idx", index)] {
        repository
            .scratch
            .write(&format!(".git/objects/pack/pack-{name}.{ending}"), &bytes);
    }
    told("packed");
    faults
}

fn has(bytes: &[u8], piece: &[u8]) -> bool {
    bytes.windows(piece.len()).any(|window| window == piece)
}
