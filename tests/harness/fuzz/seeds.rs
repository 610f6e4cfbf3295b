//! What a target starts from: fixtures and demo sets, cut to what it takes.

use super::Target;
use crate::harness::fixture::{entries, folder, name, read_folder, root, text, walk};
use std::path::{Path, PathBuf};

/// Longer ones only slow a fuzzer down; every demo set is shorter.
const LONGEST: usize = 48 << 10;

/// The texts that a target starts from, none twice, in order.
pub fn seeds(target: Target) -> Vec<String> {
    let all = sets();
    let mut found: Vec<String> = match target {
        Target::Values => all.iter().flat_map(|set| values(set)).collect(),
        Target::Marks => all.iter().flat_map(|set| marks(set)).collect(),
        Target::FrontMatter => all.iter().flat_map(|set| heads(set)).collect(),
        Target::Body => all.iter().flat_map(|set| bodies(set)).collect(),
        Target::Record => records(),
        Target::Set | Target::Desk | Target::Format | Target::Compared => all,
    };
    found.retain(|text| !text.trim().is_empty() && text.len() <= LONGEST);
    found.sort();
    found.dedup();
    found
}

/// Every text of several files among the fixtures, and every folder of real ones as such a text.
pub fn sets() -> Vec<String> {
    let tests = walk(&root().join("tests")).into_iter();
    // What a fuzz run keeps for itself lies there too.
    let own = tests.filter(|path| !path.starts_with(folder("fuzz")));
    let texts = own.filter(|path| path.extension().is_some_and(|ending| ending == "txt"));
    let mut all: Vec<String> = texts.map(|path| text(&path)).filter(|text| is_set(text)).collect();
    let procedures = root().join("procedures");
    let shop = text(&procedures.join("workshop.yaml"));
    for demo in entries(&procedures).iter().filter(|path| path.is_dir()) {
        all.push(format!("=== workshop.yaml\n{shop}{}", joined(&procedures, demo)));
    }
    for place in ["sets", "german", "machine"].map(folder) {
        let folders = entries(&place).into_iter().filter(|path| path.is_dir());
        all.extend(folders.map(|set| joined(&set, &set)).filter(|text| is_set(text)));
    }
    all
}

fn is_set(text: &str) -> bool {
    text.starts_with("=== ") || text.contains("\n=== ")
}

/// The texts of a folder as one.
fn joined(base: &Path, place: &Path) -> String {
    let files = read_folder(base, place).into_iter();
    let texts = files.filter(|(path, _)| path.ends_with(".md") || path.ends_with(".yaml"));
    texts
        .map(|(path, bytes)| format!("=== {path}\n{}", String::from_utf8_lossy(&bytes)))
        .collect()
}

/// The texts of the files in a text, by path.
fn files(set: &str) -> impl Iterator<Item = (&str, &str)> {
    set.split("=== ").skip(1).filter_map(|file| file.split_once('\n'))
}

/// The head and the body of each procedure of a text.
fn procedures(set: &str) -> impl Iterator<Item = (&str, &str)> {
    let heads = files(set).filter_map(|(_, text)| text.strip_prefix("---\n"));
    heads.filter_map(|text| text.split_once("\n---\n"))
}

fn heads(set: &str) -> Vec<String> {
    let own = files(set)
        .filter(|(path, _)| path.contains(".yaml"))
        .map(|(_, text)| text);
    own.chain(procedures(set).map(|(head, _)| head))
        .map(String::from)
        .collect()
}

fn bodies(set: &str) -> Vec<String> {
    procedures(set).map(|(_, body)| body.to_string()).collect()
}

/// What stands in brackets without a line break.
pub fn marks(set: &str) -> Vec<String> {
    let opened = set.split('[').skip(1).filter_map(|rest| rest.split_once(']'));
    let inner = opened.map(|(inner, _)| inner).filter(|inner| !inner.contains('\n'));
    inner.map(String::from).collect()
}

/// What stands behind a colon or between the commas of a list or map in one line.
pub fn values(set: &str) -> Vec<String> {
    let of_line = |line: &str| -> Vec<String> {
        let Some((_, value)) = line.split_once(": ") else {
            return Vec::new();
        };
        let pieces = value.split(['{', '}', '[', ']', ',']);
        let values = pieces.map(|piece| piece.split_once(": ").map_or(piece, |(_, value)| value).trim());
        values.map(String::from).collect()
    };
    set.lines().flat_map(of_line).filter(|value| value.len() > 1).collect()
}

/// Filled-in records.
fn records() -> Vec<String> {
    let found: Vec<PathBuf> = ["log", "cli"]
        .map(folder)
        .iter()
        .flat_map(|place| walk(place))
        .collect();
    let records = found
        .iter()
        .filter(|path| name(path).ends_with(".yaml"))
        .map(|path| text(path));
    super::targets::begun()
        .into_iter()
        .chain(records.filter(|text| text.contains("\nlog: ") || text.starts_with("log: ")))
        .collect()
}
