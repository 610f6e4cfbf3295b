//! The walls inside the crates: who may use whom, and who may touch the world outside. That no crate uses one above it, cargo sees to.

use super::{code, sources};
use crate::harness::fixture::{name, relative, root, stem};
use std::path::Path;

/// The folder of the crate that the phases are modules of.
const CORE: &str = "compiler/core";

/// Each phase and the phases it may use, in the order of `lib.rs`. A phase may always use itself and the domain.
const PHASES: &[(&str, &[&str])] = &[
    ("budgets", &[]),
    ("spread", &[]),
    ("words", &["source"]),
    ("source", &["budgets"]),
    ("finding", &["source"]),
    ("syntax", &["source"]),
    ("parse", &["budgets", "spread", "words", "source", "finding", "syntax"]),
    // Parsers give syntax and the model takes it; nobody else sees either: what is needed of it the model hands on.
    ("model", &["spread", "budgets", "words", "source", "finding", "syntax"]),
    ("check", &["spread", "words", "source", "finding", "model"]),
    ("fingerprint", &["words", "source"]),
    (
        "cards",
        &["words", "source", "finding", "fingerprint", "model", "check"],
    ),
    ("columns", &[]),
    ("bench", &[]),
    ("answers", &["words"]),
    ("reckon", &["finding", "answers"]),
    (
        "leaves",
        &[
            "spread",
            "words",
            "source",
            "fingerprint",
            "model",
            "check",
            "cards",
            "kit",
            "plan",
            "record",
        ],
    ),
    (
        "diff",
        &[
            "spread",
            "words",
            "source",
            "finding",
            "fingerprint",
            "model",
            "check",
            "cards",
            "leaves",
        ],
    ),
    ("booklet", &["fingerprint", "cards"]),
    ("kit", &["words", "fingerprint", "model", "check", "cards", "columns"]),
    ("plan", &["words", "fingerprint", "model", "check", "cards", "columns"]),
    (
        "reach",
        &[
            "words",
            "source",
            "finding",
            "fingerprint",
            "model",
            "check",
            "cards",
            "columns",
            "kit",
        ],
    ),
    // A record is a text of its own, and read as one.
    (
        "record",
        &[
            "words",
            "source",
            "parse",
            "model",
            "check",
            "cards",
            "columns",
            "fingerprint",
        ],
    ),
    (
        "rules",
        &["finding", "parse", "model", "check", "cards", "reach", "diff"],
    ),
    (
        "dump",
        &[
            "words",
            "source",
            "syntax",
            "parse",
            "model",
            "check",
            "fingerprint",
            "cards",
        ],
    ),
    ("levels", &["source", "finding", "rules", "parse", "model", "check"]),
    (
        "groups",
        &["source", "finding", "parse", "model", "check", "reach", "levels"],
    ),
    ("report", &["source", "finding", "rules"]),
    // What an editor asks is asked of every phase, and of a whole compilation.
    (
        "desk",
        &[
            "source",
            "finding",
            "syntax",
            "parse",
            "model",
            "check",
            "cards",
            "fingerprint",
            "leaves",
            "record",
            "rules",
            "compile",
            "Compilation",
        ],
    ),
];

/// The press and what it may see of the core: places, findings, and leaves as plain data.
const PRESS: &str = "compiler/press";
const PRESS_SEES: [&str; 11] = [
    "booklet",
    "words",
    "source",
    "finding",
    "fingerprint",
    "cards",
    "kit",
    "plan",
    "reach",
    "record",
    "diff",
];

/// What the edge may not see of the core, and the one part of a phase that it may: how files are told apart by their names.
const EDGE_SEES_NOT: [&str; 2] = ["syntax", "parse"];
const EDGE_SEES: &str = "parse::files";

/// The one folder that may do anything, and the program's root on top of it.
const EDGE: [&str; 3] = ["compiler/edge/", "compiler/lib.rs", "compiler/main.rs"];

/// Longest file of the compiler, in lines.
const LONGEST: usize = 500;

/// The phase a file of the core belongs to: its folder or its own name.
fn phase(path: &Path) -> String {
    let inside = relative(path);
    let inside = inside.trim_start_matches(CORE).trim_start_matches('/');
    let first = inside.split('/').next().unwrap_or("");
    first.trim_end_matches(".rs").to_string()
}

pub fn without_docs() -> Vec<String> {
    let all = sources("compiler").into_iter().chain(sources("tests"));
    all.filter(|(_, text)| !text.starts_with("//!"))
        .map(|(path, _)| format!("{} doesn't start with `//!`", relative(&path)))
        .collect()
}

pub fn upward_uses() -> Vec<String> {
    let mut faults = Vec::new();
    for (path, text) in sources(CORE) {
        let own = phase(&path);
        if own == "lib" {
            continue;
        }
        let Some((_, allowed)) = PHASES.iter().find(|(phase, _)| *phase == own) else {
            faults.push(format!(
                "{} is in no phase that tests/tidy/layers.rs knows",
                relative(&path)
            ));
            continue;
        };
        let depth = relative(&path).matches('/').count() - 1 - usize::from(name(&path) == "mod.rs");
        for (number, line) in code(&text) {
            for used in roots(line, depth) {
                if used != own && used != "domain" && !allowed.contains(&used.as_str()) {
                    faults.push(format!("{}:{number}: `{own}` may not use `{used}`", relative(&path)));
                }
            }
        }
    }
    for (path, text) in sources("compiler/edge") {
        for (number, line) in code(&text) {
            let names = first_names(line, "crate::")
                .into_iter()
                .chain(first_names(line, &named("core")));
            for used in names.filter(|used| EDGE_SEES_NOT.contains(&used.as_str()) && !line.contains(EDGE_SEES)) {
                faults.push(format!("{}:{number}: the edge may not use `{used}`", relative(&path)));
            }
        }
    }
    for (path, text) in sources(PRESS) {
        for (number, line) in code(&text) {
            for used in first_names(line, &named("core")) {
                if !PRESS_SEES.contains(&used.as_str()) {
                    faults.push(format!("{}:{number}: the press may not use `{used}`", relative(&path)));
                }
            }
        }
    }
    faults
}

/// How code names one of the crates. Put together here, so that this file doesn't seem to call one.
fn named(name: &str) -> String {
    format!("benchleaf_{name}::")
}

/// What follows a marker wherever it stands in a line: a name, or one character of anything else.
fn first_names(line: &str, marker: &str) -> Vec<String> {
    let first = |piece: &str| match piece.find(|c: char| !(c.is_alphanumeric() || c == '_')) {
        Some(0) => piece.chars().take(1).collect(),
        Some(end) => piece[..end].to_string(),
        None => piece.to_string(),
    };
    line.split(marker).skip(1).map(first).collect()
}

/// What a line names at the root of the crate: after `crate::`, or phases after as many `super::` as lead there (a module inside a file
/// needs one more, so anything else there is the file's own). A group at the root counts as a name, so that every use names its phase.
fn roots(line: &str, depth: usize) -> Vec<String> {
    let climbed = if depth == 0 {
        Vec::new()
    } else {
        first_names(line, &"super::".repeat(depth))
    };
    let is_phase = |name: &String| PHASES.iter().any(|(phase, _)| phase == name);
    first_names(line, "crate::")
        .into_iter()
        .chain(climbed.into_iter().filter(is_phase))
        .collect()
}

pub fn impure() -> Vec<String> {
    let outside = ["fs", "env", "net", "process", "thread"].map(|module| format!("std::{module}"));
    let clock = ["SystemTime", "Instant"].map(String::from);
    let printing = ["println!", "eprintln!", "print!", "eprint!", "dbg!"].map(String::from);
    let mut faults = Vec::new();
    let edge = |path: &Path| EDGE.iter().any(|edge| relative(path).starts_with(edge));
    for (path, text) in sources("compiler").into_iter().filter(|(path, _)| !edge(path)) {
        for (number, line) in code(&text) {
            for word in outside
                .iter()
                .chain(&clock)
                .chain(&printing)
                .filter(|word| holds_word(line, word))
            {
                faults.push(format!("{}:{number}: `{word}` belongs into the edge", relative(&path)));
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
    let own = ["domain", "core", "press"].map(named);
    let free = ["harness", "values", "bench", "printer", "program"].map(|folder| format!("tests/{folder}/"));
    let mut faults = Vec::new();
    for (path, text) in sources("tests") {
        let place = relative(&path);
        let calls = code(&text).filter(|(_, line)| own.iter().any(|own| line.contains(own.as_str())));
        if !free.iter().any(|folder| place.starts_with(folder.as_str())) {
            faults.extend(calls.map(|(number, _)| format!("{place}:{number} calls a crate; let tests/harness/ do it")));
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

/// The files that cargo starts from.
const ROOTS: [&str; 11] = [
    "compiler/domain/lib.rs",
    "compiler/core/lib.rs",
    "compiler/press/lib.rs",
    "compiler/lib.rs",
    "compiler/main.rs",
    "tests/domain.rs",
    "tests/core.rs",
    "tests/press.rs",
    "tests/main.rs",
    "tests/bench/main.rs",
    "tests/bench/build.rs",
];

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
        if ROOTS.contains(&relative(&path).as_str()) {
            continue;
        }
        let roots = ROOTS.iter().map(|file| root().join(file));
        let parents = [home.join("mod.rs"), home.with_extension("rs")].into_iter();
        let parents = parents.chain(roots.filter(|file| file.parent() == Some(home)));
        let texts = parents.filter_map(|parent| std::fs::read_to_string(parent).ok());
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
