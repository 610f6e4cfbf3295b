//! One line of a clean set indented, quoted, commented out or deleted: what its cards then lose is told.
//!
//! Every line of the set in `tests/slips/base/` is tried, and as many of the demo sets as `PROPTEST_CASES` says, chosen by `FUZZ_SEED`. A line
//! that is deleted is exempt, since git tells of it, unless another one names what it declares.

use crate::harness::printed::{Printed, printed};
use crate::harness::{Files, Outcome, check, fixture};
use crate::slips;
use libtest_mimic::Trial;
use std::env;

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("lines/every-line-of-the-base", || told(&slips::base(), usize::MAX)),
        Trial::test("lines/some-of-the-demos", || {
            let procedures = fixture::root().join("procedures");
            let wanted = env::var("PROPTEST_CASES").ok().and_then(|cases| cases.parse().ok());
            for set in fixture::entries(&procedures).into_iter().filter(|path| path.is_dir()) {
                let mut files = fixture::read_folder(&procedures, &set);
                let shop = procedures.join("workshop.yaml");
                files.insert(fixture::name(&shop), fixture::text(&shop).into_bytes());
                told(&files, wanted.unwrap_or(60))?;
            }
            Ok(())
        }),
    ]
}

/// Makes another line of one, or none; true for YAML.
type Deed = fn(&str, bool) -> Option<String>;

/// What is done to a line.
const DEEDS: [(&str, Deed); 8] = [
    ("indented by two", |line, _| Some(format!("  {line}"))),
    ("indented by four", |line, _| Some(format!("    {line}"))),
    ("indented by eight", |line, _| Some(format!("        {line}"))),
    ("indented by a tab", |line, _| Some(format!("\t{line}"))),
    ("in quotes", |line, _| {
        let words = line.trim_start();
        Some(format!("{}\"{words}\"", &line[..line.len() - words.len()]))
    }),
    ("behind a quote sign", |line, _| Some(format!("> {line}"))),
    ("commented out", |line, yaml| {
        let words = line.trim_start();
        let indent = &line[..line.len() - words.len()];
        Some(if yaml {
            format!("{indent}# {words}")
        } else {
            format!("{indent}<!-- {words} -->")
        })
    }),
    ("deleted", |_, _| None),
];

/// Tries some lines of a clean set.
fn told(files: &Files, most: usize) -> Outcome {
    let clean = check(files);
    // Where something is found before anything is done, finding something tells of nothing.
    if !clean.compilation.findings.is_empty() {
        return Err(format!("this set isn't clean:\n{}", clean.listing()).into());
    }
    let whole = printed(&clean);
    let mut places = Vec::new();
    for (path, bytes) in files
        .iter()
        .filter(|(path, _)| path.ends_with(".md") || path.ends_with(".yaml"))
    {
        let text = String::from_utf8_lossy(bytes).into_owned();
        let mut fences = 0;
        for (n, line) in text.lines().enumerate() {
            fences += usize::from(line == "---");
            let yaml = path.ends_with(".yaml") || fences < 2 && line != "---";
            if !line.trim().is_empty() {
                places.extend(DEEDS.iter().map(|deed| (path.clone(), n, yaml, deed)));
            }
        }
    }
    // A place is chosen for what stands there, whatever else does: a line more in a set changes nothing for the others.
    let seed = env::var("FUZZ_SEED").unwrap_or_default();
    places.sort_by_cached_key(|(path, n, _, (name, _))| {
        let text = String::from_utf8_lossy(&files[path]).into_owned();
        let line = text.lines().nth(*n).unwrap_or_default();
        (number_of(&[&seed, path, line, name]), *n)
    });
    let count = places.len();
    let mut lost = Vec::new();
    let mut tried = 0;
    for (path, n, yaml, (name, deed)) in places.into_iter().take(most) {
        let text = String::from_utf8_lossy(&files[&path]).into_owned();
        let mut lines: Vec<String> = text.lines().map(str::to_string).collect();
        let old = lines.remove(n);
        let new = deed(&old, yaml);
        if new.is_none() && !is_named(&old, &lines, files) {
            continue;
        }
        tried += 1;
        lines.splice(n..n, new.clone());
        let mut changed = files.clone();
        changed.insert(path.clone(), (lines.join("\n") + "\n").into_bytes());
        let checked = check(&changed);
        if checked.compilation.findings.is_empty()
            && let Some(what) = lacks(&printed(&checked), &whole)
        {
            lost.push(format!(
                "{path}:{} {name}: {what} is lost: {}",
                n + 1,
                new.unwrap_or(old)
            ));
        }
    }
    println!("{tried} lines changed");
    if tried * 2 < count.min(most) {
        return Err(format!("only {tried} lines were tried").into());
    }
    if lost.is_empty() {
        Ok(())
    } else {
        Err(lost.join("\n").into())
    }
}

/// A number that hangs on some words and nothing else (FNV-1a).
fn number_of(words: &[&str]) -> u64 {
    let bytes = words.iter().flat_map(|word| word.bytes().chain([0]));
    bytes.fold(0xcbf2_9ce4_8422_2325, |number, byte| {
        (number ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// True if a line declares an entry or a step that a mark in another line names.
fn is_named(line: &str, others: &[String], files: &Files) -> bool {
    let entry = (line.strip_prefix("  ").filter(|rest| !rest.starts_with([' ', '-'])))
        .and_then(|rest| rest.split_once(':'))
        .map(|(id, _)| id);
    let label = line.split_once("[label ").and_then(|(_, rest)| rest.split_once(']'));
    let Some(id) = entry.or(label.map(|(id, _)| id)) else {
        return false;
    };
    let all = files.values().map(|bytes| String::from_utf8_lossy(bytes).into_owned());
    let here = others.iter().cloned();
    let marks: Vec<String> = all
        .chain(here)
        .flat_map(|text| text.split('[').skip(1).map(str::to_string).collect::<Vec<_>>())
        .filter_map(|mark| Some(mark.split_once(']')?.0.to_string()))
        .filter(|mark| !mark.starts_with("label "))
        .collect();
    marks
        .iter()
        .any(|mark| mark.split([' ', '=', '|', '/']).skip(1).any(|word| word == id))
}

/// What the cards lack of what they had.
fn lacks(now: &Printed, before: &Printed) -> Option<String> {
    let fewer = before
        .counts
        .iter()
        .find(|(what, count)| now.counts.get(*what).unwrap_or(&0) < count);
    if let Some((what, _)) = fewer {
        return Some(format!("one of `{what}`"));
    }
    let gone = before
        .figures
        .iter()
        .find(|(figure, count)| now.figures.get(*figure).unwrap_or(&0) < count);
    gone.map(|(figure, _)| format!("the figure `{figure}`"))
}
