//! The walls inside the crate: who may use whom, and who may touch the world outside.

use super::{code, sources};
use crate::harness::fixture::{name, relative, root, stem};
use std::path::Path;

/// Each phase and the phases it may use, in the order of `lib.rs`. A phase may always use itself.
const PHASES: &[(&str, &[&str])] = &[
    ("source", &[]),
    ("finding", &["source"]),
    ("domain", &[]),
    ("fingerprint", &[]),
    ("parse", &["source", "finding", "domain"]),
    ("model", &["source", "finding", "domain", "parse"]),
    ("check", &["source", "finding", "domain", "parse", "model"]),
    (
        "cards",
        &["source", "finding", "domain", "fingerprint", "parse", "model", "check"],
    ),
    ("typeset", &["source", "finding", "fingerprint", "cards"]),
    (
        "readers",
        &[
            "source",
            "finding",
            "domain",
            "fingerprint",
            "parse",
            "model",
            "check",
            "cards",
        ],
    ),
    ("rules", &["finding", "parse", "model", "check", "cards", "readers"]),
    ("report", &["source", "finding", "rules"]),
];

/// Files that stand above all phases, and the one phase that may do anything.
const TOP: [&str; 2] = ["lib.rs", "main.rs"];
const EDGE: &str = "edge";

/// Longest file of the compiler, in lines.
const LONGEST: usize = 500;

/// The phase a file belongs to: its folder or its own name below `compiler/`.
fn phase(path: &Path) -> String {
    let inside = relative(path);
    let inside = inside.trim_start_matches("compiler/");
    inside
        .split('/')
        .next()
        .unwrap_or("")
        .trim_end_matches(".rs")
        .to_string()
}

/// True for the files that no wall concerns.
fn above(path: &Path) -> bool {
    phase(path) == EDGE || TOP.contains(&relative(path).trim_start_matches("compiler/"))
}

pub fn without_docs() -> Vec<String> {
    let all = sources("compiler").into_iter().chain(sources("tests"));
    all.filter(|(_, text)| !text.starts_with("//!"))
        .map(|(path, _)| format!("{} doesn't start with `//!`", relative(&path)))
        .collect()
}

pub fn upward_uses() -> Vec<String> {
    let mut faults = Vec::new();
    for (path, text) in sources("compiler").into_iter().filter(|(path, _)| !above(path)) {
        let own = phase(&path);
        let Some((_, allowed)) = PHASES.iter().find(|(phase, _)| *phase == own) else {
            faults.push(format!(
                "{} is in no phase that tests/tidy/layers.rs knows",
                relative(&path)
            ));
            continue;
        };
        let depth = relative(&path).matches('/').count() - usize::from(name(&path) == "mod.rs");
        for (number, line) in code(&text) {
            for used in roots(line, depth) {
                if used != own && !allowed.contains(&used.as_str()) {
                    faults.push(format!("{}:{number}: `{own}` may not use `{used}`", relative(&path)));
                }
            }
        }
    }
    faults
}

/// What a line names at the root of the crate: after `crate::`, or phases after as many `super::` as lead there (a module inside a file
/// needs one more, so anything else there is the file's own). A group at the root counts as a name, so that every use names its phase.
fn roots(line: &str, depth: usize) -> Vec<String> {
    let names = |marker: &str| -> Vec<String> {
        let first = |piece: &str| match piece.find(|c: char| !(c.is_alphanumeric() || c == '_')) {
            Some(0) => piece.chars().take(1).collect(),
            Some(end) => piece[..end].to_string(),
            None => piece.to_string(),
        };
        line.split(marker).skip(1).map(first).collect()
    };
    let climbed = if depth == 0 {
        Vec::new()
    } else {
        names(&"super::".repeat(depth))
    };
    let is_phase = |name: &String| name == EDGE || PHASES.iter().any(|(phase, _)| phase == name);
    names("crate::")
        .into_iter()
        .chain(climbed.into_iter().filter(is_phase))
        .collect()
}

pub fn impure() -> Vec<String> {
    let outside = ["fs", "env", "net", "process", "thread"].map(|module| format!("std::{module}"));
    let clock = ["SystemTime", "Instant"].map(String::from);
    let printing = ["println!", "eprintln!", "print!", "eprint!", "dbg!"].map(String::from);
    let mut faults = Vec::new();
    for (path, text) in sources("compiler").into_iter().filter(|(path, _)| !above(path)) {
        for (number, line) in code(&text) {
            for word in outside
                .iter()
                .chain(&clock)
                .chain(&printing)
                .filter(|word| holds_word(line, word))
            {
                faults.push(format!("{}:{number}: `{word}` belongs into {EDGE}/", relative(&path)));
            }
            if line.contains("use std::{") {
                faults.push(format!(
                    "{}:{number}: name each module of std in its own `use`",
                    relative(&path)
                ));
            }
        }
    }
    faults
}

/// True if a word stands in a line and not as the end of a longer one: `print!` is not in `eprint!`.
fn holds_word(line: &str, word: &str) -> bool {
    line.match_indices(word).any(|(at, _)| {
        let (before, after) = (line[..at].chars().next_back(), line[at + word.len()..].chars().next());
        let part = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_');
        let runs_on = word.ends_with(char::is_alphanumeric) && part(after);
        !part(before) && !runs_on
    })
}

pub fn calls_past_the_harness() -> Vec<String> {
    let own = format!("{}::", env!("CARGO_PKG_NAME"));
    let free = ["tests/harness/", "tests/values/", "tests/bench/"];
    let mut faults = Vec::new();
    for (path, text) in sources("tests") {
        let place = relative(&path);
        let calls = code(&text).filter(|(_, line)| line.contains(&own));
        if !free.iter().any(|folder| place.starts_with(folder)) {
            faults
                .extend(calls.map(|(number, _)| format!("{place}:{number} calls the crate; let tests/harness/ do it")));
        }
    }
    faults
}

pub fn too_long() -> Vec<String> {
    let long = sources("compiler")
        .into_iter()
        .map(|(path, text)| (path, text.lines().count()));
    let long = long.filter(|(_, lines)| *lines > LONGEST);
    long.map(|(path, lines)| format!("{} has {lines} lines; {LONGEST} is the most", relative(&path)))
        .collect()
}

/// A file that no `mod` names is never compiled.
pub fn undeclared() -> Vec<String> {
    let mut faults = Vec::new();
    for (path, _) in sources("compiler").into_iter().chain(sources("tests")) {
        let file = name(&path);
        let folder = path.parent().unwrap_or(&path);
        let (module, home) = if file == "mod.rs" {
            (name(folder), folder.parent().unwrap_or(folder))
        } else {
            (stem(&path), folder)
        };
        if [
            root().join("compiler"),
            root().join("tests"),
            root().join("tests/bench"),
        ]
        .contains(&home.to_path_buf())
            && ["lib", "main"].contains(&module.as_str())
        {
            continue;
        }
        let parents = [
            home.join("lib.rs"),
            home.join("main.rs"),
            home.join("mod.rs"),
            home.with_extension("rs"),
        ];
        let texts = parents.iter().filter_map(|parent| std::fs::read_to_string(parent).ok());
        let declared = |text: String| {
            text.lines()
                .any(|line| line.trim_end().ends_with(&format!("mod {module};")))
        };
        if !texts.into_iter().any(declared) {
            faults.push(format!("no module declares {}", relative(&path)));
        }
    }
    faults
}
