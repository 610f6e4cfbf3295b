//! What a code stands for is asked of every field of a leaf: the exempt ones are listed, nothing is left out in passing, and a new field is
//! refused by the compiler until somebody says.

use super::{code, sources};
use crate::harness::fixture::{folder, relative, root};
use crate::harness::snapshot;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

const CORE: &str = "compiler/core";

/// Why a printed field may be exempt: no other reason counts, and each of these has its own in DEVELOPERS.md.
const REASONS: [&str; 11] = [
    "Revision",
    "Date",
    "Draft",
    "Price",
    "Paper",
    "Number",
    "Since",
    "ChangeMark",
    "Span",
    "Argument",
    "Repeated",
];

/// Every exempt field with its reason is in `tests/fingerprint/exempt.txt`, and every reason is one of the list.
pub fn exempt_fields() -> Vec<String> {
    let mut faults = Vec::new();
    let mut listed = Vec::new();
    for (path, text) in sources(CORE) {
        let mut within = String::new();
        for (number, line) in code(&text) {
            let words = line.trim();
            if let Some(name) = words.strip_prefix("pub struct ").or(words.strip_prefix("pub enum ")) {
                within = name
                    .split(|c: char| !c.is_alphanumeric())
                    .next()
                    .unwrap_or("")
                    .to_string();
            }
            let by_field = words.strip_prefix("exempt(").and_then(|rest| rest.split_once(") "));
            let by_hand = words
                .strip_prefix("exempt(Exempt::")
                .and_then(|rest| rest.split_once(", "));
            let Some((why, field)) = by_field.or(by_hand) else {
                continue;
            };
            if !REASONS.contains(&why) {
                faults.push(format!(
                    "{}:{number}: `{why}` is no reason to be exempt",
                    relative(&path)
                ));
            }
            let field = field
                .split(|c: char| !c.is_alphanumeric() && c != '_')
                .next()
                .unwrap_or("");
            listed.push(format!("{within}.{field}: {why}\n"));
        }
    }
    listed.sort();
    let list = folder("fingerprint").join("exempt.txt");
    if let Err(fault) = snapshot::compare(&list, &listed.concat()) {
        faults.push(
            fault
                .message()
                .unwrap_or("the list of exempt fields differs")
                .to_string(),
        );
    }
    let told = crate::harness::fixture::text(&root().join("DEVELOPERS.md"));
    let untold = REASONS.iter().filter(|why| !told.contains(&format!("`{why}`")));
    faults.extend(untold.map(|why| format!("DEVELOPERS.md doesn't say why `{why}` is exempt")));
    faults
}

/// No struct of a leaf is taken apart with `..` where its meaning is fed.
pub fn nothing_left_out() -> Vec<String> {
    let mut faults = Vec::new();
    let mut looked = 0;
    for (path, text) in sources(CORE) {
        // Inside an implementation, until the brace that closes it.
        let mut inside = relative(&path).ends_with("fingerprint/declare.rs");
        let whole = inside;
        for (number, line) in code(&text) {
            inside |= line.contains("Meaning for ") || line.starts_with("impl Words {");
            looked += usize::from(inside);
            if inside && line.contains("..") && !line.contains("..)*") {
                faults.push(format!("{}:{number}: `..` leaves fields out", relative(&path)));
            }
            inside = whole || inside && line != "}";
        }
    }
    if looked < 50 {
        faults.push(format!(
            "only {looked} lines feed a meaning: this check looks in the wrong place"
        ));
    }
    faults
}

/// A field put into each struct and each variant of a leaf in turn: `cargo check` refuses it, and nothing else. 67 of them
/// take two and a half minutes of one core, dependencies included, so it is run by `.ci/long`.
pub fn new_fields() -> Vec<String> {
    let copy = root().join("target/fields");
    let _ = std::fs::remove_dir_all(&copy);
    for part in [
        "compiler/core",
        "compiler/domain",
        "compiler/tables",
        "Cargo.lock",
        "templates/words",
        "tests",
    ] {
        copied(&root().join(part), &copy.join(part));
    }
    let cargo = crate::harness::fixture::text(&root().join("Cargo.toml"));
    let workspace = cargo.split("\n[package]").next().unwrap_or("");
    let lines = workspace
        .lines()
        .filter(|line| !line.starts_with("benchleaf-press") && !line.starts_with("default-members"));
    let two = |line: &str| match line.starts_with("members") {
        true => "members = [\"compiler/domain\", \"compiler/core\"]\n".to_string(),
        false => format!("{line}\n"),
    };
    std::fs::write(copy.join("Cargo.toml"), lines.map(two).collect::<String>()).expect("the copy's manifest");
    let check = || {
        let out = Command::new(env!("CARGO"))
            .args(["check", "--offline", "--quiet", "--lib", "-p", "benchleaf-core"])
            .current_dir(&copy)
            .env("CARGO_TARGET_DIR", root().join("target/fields-target"))
            .output()
            .expect("cargo runs");
        (out.status.success(), String::from_utf8_lossy(&out.stderr).into_owned())
    };
    let (whole, said) = check();
    if !whole {
        return vec![format!(
            "the copy as it is doesn't compile, so a refusal would mean nothing:\n{said}"
        )];
    }
    let mut faults = Vec::new();
    let mut tried = 0;
    for (path, text) in sources(CORE) {
        for (name, place) in places(&text) {
            let mut edited = text.clone();
            edited.insert_str(place, " field_nobody_spoke_for: usize, ");
            let file = copy.join(relative(&path));
            std::fs::write(&file, &edited).expect("the copy is written");
            tried += 1;
            let (passed, said) = check();
            // The declaration asks of it, or a pattern does.
            let asked = ["no rules expected", "E0027", "does not mention field"]
                .iter()
                .any(|words| said.contains(words));
            if passed || !asked {
                faults.push(format!("{}: {name}: a new field is not asked about", relative(&path)));
            }
            std::fs::write(&file, &text).expect("the copy is written");
        }
    }
    println!("{tried} structs and variants of leaves were given a field");
    if tried < 40 {
        faults.push(format!("only {tried} structs were found"));
    }
    faults
}

/// Where a field can be put: after the brace of each struct and each variant with fields that `leaf!` declares or `Meaning` is written for.
fn places(text: &str) -> Vec<(String, usize)> {
    let by_hand: BTreeSet<&str> = text
        .match_indices("Meaning for ")
        .filter_map(|(at, words)| text[at + words.len()..].split(|c: char| !c.is_alphanumeric()).next())
        .collect();
    let mut found = Vec::new();
    let (mut at, mut declared, mut within) = (0, false, String::new());
    for line in text.split_inclusive('\n') {
        let words = line.trim();
        declared |= words == "leaf! {";
        if line.starts_with('}') {
            (declared, within) = (false, String::new());
        }
        let opens = words.strip_suffix('{').map(str::trim_end);
        for kind in ["pub struct ", "pub enum "] {
            let name = opens.and_then(|words| words.strip_prefix(kind)).unwrap_or("");
            if !name.is_empty() && (declared || by_hand.contains(name)) {
                within = name.to_string();
                if kind == "pub struct " {
                    found.push((name.to_string(), at + line.trim_end().len()));
                }
            }
        }
        // A variant: `Paragraph {` or `Need { says state: String, … },`.
        let variant = words.split_once(" {").map_or("", |(name, _)| name);
        if !within.is_empty()
            && variant.chars().next().is_some_and(char::is_uppercase)
            && variant.chars().all(char::is_alphanumeric)
        {
            let brace = line.find('{').unwrap_or(0);
            found.push((format!("{within}::{variant}"), at + brace + 1));
        }
        at += line.len();
    }
    found
}

fn copied(from: &Path, to: &Path) {
    let files: Vec<PathBuf> = if from.is_dir() {
        crate::harness::fixture::walk(from)
    } else {
        vec![from.to_path_buf()]
    };
    for file in files {
        let place = to.join(file.strip_prefix(from).unwrap_or(Path::new("")));
        let place = if from.is_dir() { place } else { to.to_path_buf() };
        std::fs::create_dir_all(place.parent().unwrap_or(to)).expect("a folder of the copy");
        std::fs::copy(&file, &place).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    }
}
