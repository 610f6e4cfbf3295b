//! Slips of people who are new to YAML and Markdown: each file of `tests/slips/` holds those of a kind. A slip changes one place of the
//! clean set in `tests/slips/base/`, and gives exactly one finding, at its place.
//!
//! A slip begins after a line `=== what it is`. Then come `file NAME` (of what follows), `rename OLD NEW`, `delete NAME`, lines of the file behind `-` (they stand there
//! once, as whole lines in a row) and lines that stand in their place behind `+`; without lines behind `-`, `+` lines go to the end, and `whole` says that they
//! are the whole file. `\t`, `\r` and `\u{…}` in `+` lines are those signs, and `\n` at the end of the last leaves its line end out. `harmless` says that the slip is none: nothing is
//! found. What each gives is in `<kind>.findings`.

use crate::harness::{Files, Outcome, check, fixture, snapshot};
use libtest_mimic::Trial;
use std::path::{Path, PathBuf};

/// The kinds of slips.
pub fn files() -> Vec<PathBuf> {
    fixture::texts(&fixture::folder("slips"))
}

/// The set that is changed.
pub fn base() -> Files {
    let folder = fixture::folder("slips").join("base");
    fixture::read_folder(&folder, &folder)
}

pub fn trials() -> Vec<Trial> {
    let mut trials: Vec<Trial> = files()
        .into_iter()
        .map(|path| Trial::test(format!("slips/{}", fixture::stem(&path)), move || caught(&path)))
        .collect();
    trials.push(Trial::test("slips/the-base-is-clean", || {
        let listing = check(&base()).listing();
        if listing.is_empty() {
            Ok(())
        } else {
            Err(listing.into())
        }
    }));
    trials.push(Trial::test("slips/three-hundred", || {
        let all: Vec<Slip> = files().iter().flat_map(|path| read(path)).collect();
        let harmless = all.iter().filter(|slip| slip.harmless).count();
        if all.len() - harmless >= 300 && harmless >= 50 {
            return Ok(());
        }
        Err(format!("{} slips and {harmless} harmless edits", all.len() - harmless).into())
    }));
    trials
}

/// Every slip with what it makes of the set.
pub fn all() -> Vec<(String, Files)> {
    let all = files();
    let slips = all.iter().flat_map(|path| {
        let kind = fixture::stem(path);
        read(path)
            .into_iter()
            .map(move |slip| (format!("{kind}: {}", slip.name), slip.files))
    });
    slips.collect()
}

/// One slip.
pub struct Slip {
    name: String,
    harmless: bool,
    files: Files,
}

fn read(path: &Path) -> Vec<Slip> {
    let text = fixture::text(path);
    text.split("\n=== ").skip(1).map(|part| slip(path, part)).collect()
}

fn slip(path: &Path, part: &str) -> Slip {
    let mut lines = part.lines();
    let name = lines.next().unwrap_or("").to_string();
    let mut slip = Slip {
        name,
        harmless: false,
        files: base(),
    };
    let (mut file, mut old, mut new, mut whole) = (String::new(), String::new(), String::new(), false);
    for line in lines.chain(["file"]) {
        if let Some(line) = line.strip_prefix('-') {
            old += &format!("{line}\n");
        } else if let Some(line) = line.strip_prefix('+') {
            new += &format!("{}\n", unescape(line));
        } else {
            let words: Vec<&str> = line.split_whitespace().collect();
            match words.as_slice() {
                ["file", rest @ ..] => {
                    apply(path, &mut slip, &file, (&old, &new), whole);
                    file = rest.join(" ");
                    (old, new, whole) = (String::new(), String::new(), false);
                }
                ["rename", from, to] => {
                    let bytes = slip
                        .files
                        .remove(*from)
                        .unwrap_or_else(|| panic!("{}: no {from}", slip.name));
                    slip.files.insert(to.to_string(), bytes);
                }
                ["delete", name] => {
                    slip.files.remove(*name);
                }
                ["harmless"] => slip.harmless = true,
                ["whole"] => whole = true,
                [] => {}
                _ => panic!("{}: {}: {line:?}", fixture::relative(path), slip.name),
            }
        }
    }
    slip
}

/// Puts the new lines in place of the old ones.
fn apply(path: &Path, slip: &mut Slip, file: &str, (old, new): (&str, &str), whole: bool) {
    if file.is_empty() {
        return;
    }
    let new = new.strip_suffix("\\n\n").unwrap_or(new);
    let bytes = slip.files.entry(file.to_string()).or_default();
    let text = String::from_utf8_lossy(bytes).into_owned();
    let changed = if whole {
        new.to_string()
    } else if old.is_empty() {
        text + new
    } else {
        let place = format!(
            "{}: {}: {old:?} stands in {file} not once",
            fixture::relative(path),
            slip.name
        );
        let lined = format!("\n{text}");
        assert!(lined.matches(&format!("\n{old}")).count() == 1, "{place}");
        lined.replacen(&format!("\n{old}"), &format!("\n{new}"), 1)[1..].to_string()
    };
    *bytes = bytes_of(&changed);
}

/// `\x..` are bytes.
fn bytes_of(text: &str) -> Vec<u8> {
    let mut pieces = text.split("\\x");
    let mut bytes = pieces.next().unwrap_or("").as_bytes().to_vec();
    for piece in pieces {
        let (code, rest) = piece.split_at(2);
        bytes.push(u8::from_str_radix(code, 16).unwrap_or_else(|_| panic!("`\\x{code}` is no byte")));
        bytes.extend_from_slice(rest.as_bytes());
    }
    bytes
}

fn unescape(line: &str) -> String {
    let line = line.replace("\\t", "\t").replace("\\r", "\r");
    let mut pieces = line.split("\\u{");
    let mut out = pieces.next().unwrap_or("").to_string();
    for piece in pieces {
        let (code, rest) = piece.split_once('}').unwrap_or_else(|| panic!("{line}"));
        let sign = u32::from_str_radix(code, 16).ok().and_then(char::from_u32);
        out.push(sign.unwrap_or_else(|| panic!("`{code}` is no sign")));
        out += rest;
    }
    out
}

fn caught(path: &Path) -> Outcome {
    let mut out = String::new();
    let mut wrong = Vec::new();
    for slip in read(path) {
        let checked = check(&slip.files);
        let count = checked.compilation.findings.len();
        if count != usize::from(!slip.harmless) {
            wrong.push(format!("{}: {count} findings\n{}", slip.name, checked.listing()));
        }
        out += &format!("=== {}\n{}", slip.name, checked.listing());
    }
    if !wrong.is_empty() {
        return Err(wrong.join("\n").into());
    }
    snapshot::compare(&path.with_extension("findings"), &out)
}
