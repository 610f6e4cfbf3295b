//! No two files or folders beside each other need each other, directly or round about: each folder reads from the bottom up.

use super::{code, sources};
use crate::harness::fixture::relative;
use std::collections::{BTreeMap, BTreeSet};

/// What each neighbour uses, by folder.
type Uses = BTreeMap<String, BTreeMap<String, BTreeSet<String>>>;

/// The crates, by the folder of each.
const CRATES: [&str; 4] = [
    "compiler/domain/",
    "compiler/core/",
    "compiler/press/",
    "compiler/edge/",
];

pub fn circles() -> Vec<String> {
    CRATES.iter().flat_map(|folder| in_crate(folder)).collect()
}

fn in_crate(folder: &str) -> Vec<String> {
    // The program's own crate begins above the edge.
    let base = folder.trim_end_matches("edge/");
    let files: Vec<(Vec<String>, String)> = sources(folder)
        .into_iter()
        .map(|(path, text)| (module(relative(&path).trim_start_matches(base)), text))
        .collect();
    let known: BTreeSet<&[String]> = files.iter().flat_map(|(m, _)| (1..=m.len()).map(|n| &m[..n])).collect();
    let mut uses = Uses::new();
    for (own, text) in &files {
        // What a file's own tests use is no part of it.
        let shipped = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or(text);
        for used in code(shipped).flat_map(|(_, line)| used(own, line)) {
            let length = (1..=used.len())
                .rev()
                .find(|n| known.contains(&used[..*n]))
                .unwrap_or(0);
            let used = &used[..length];
            let common = own.iter().zip(used).take_while(|(a, b)| a == b).count();
            // The root is for the phases' own check, and a folder may use what is inside it.
            if common > 0
                && let (Some(from), Some(to)) = (own.get(common), used.get(common))
            {
                let folder = uses.entry(own[..common].join("/")).or_default();
                folder.entry(from.clone()).or_default().insert(to.clone());
            }
        }
    }
    let in_folder = |(folder, uses): (&String, &BTreeMap<String, BTreeSet<String>>)| {
        let caught: Vec<&str> = uses.keys().filter(|n| reaches(uses, n)).map(String::as_str).collect();
        (!caught.is_empty()).then(|| format!("{base}{folder}: {} use each other", caught.join(", ")))
    };
    uses.iter().filter_map(in_folder).collect()
}

/// Below the root of a crate `a/b.rs` is `[a, b]`, and so is `a/b/mod.rs`.
fn module(path: &str) -> Vec<String> {
    let path = path.trim_end_matches(".rs").trim_end_matches("/mod");
    path.split('/').map(String::from).collect()
}

/// The paths that a line names from `crate::` or `super::` on, from the root.
fn used(own: &[String], line: &str) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    for (marker, mut base) in [("crate::", Vec::new()), ("super::", own.to_vec())] {
        let Some(at) = line.find(marker) else { continue };
        let mut rest = &line[at..];
        while let Some(after) = rest.strip_prefix("super::") {
            base.pop();
            rest = after;
        }
        rest = rest.strip_prefix("crate::").unwrap_or(rest);
        let (head, group) = rest.split_once('{').unwrap_or((rest, ""));
        let names = |text: &str| -> Vec<String> {
            let end = text.find(|c: char| !(c.is_alphanumeric() || c == '_' || c == ':'));
            let path = text[..end.unwrap_or(text.len())].trim_end_matches(':');
            path.split("::").filter(|n| !n.is_empty()).map(String::from).collect()
        };
        let head = names(head);
        for name in group.split(',') {
            found.push([base.as_slice(), &head, &names(name.trim())].concat());
        }
    }
    found
}

/// True if a neighbour comes back to itself.
fn reaches(uses: &BTreeMap<String, BTreeSet<String>>, start: &str) -> bool {
    let mut open: Vec<&String> = uses.get(start).into_iter().flatten().collect();
    let mut seen = BTreeSet::new();
    while let Some(next) = open.pop() {
        if next == start {
            return true;
        }
        if seen.insert(next) {
            open.extend(uses.get(next).into_iter().flatten());
        }
    }
    false
}
