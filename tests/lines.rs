//! One line of a clean set indented, quoted or commented out: what its cards then lose is told.
//!
//! Every line of the set in `tests/slips/base/` is tried, and as many of the demo sets as `PROPTEST_CASES` says, chosen by `FUZZ_SEED`. A line
//! that is deleted is exempt: git tells of it.

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

/// Makes another line of one; true for YAML.
type Deed = fn(&str, bool) -> String;

/// What is done to a line.
const DEEDS: [(&str, Deed); 7] = [
    ("indented by two", |line, _| format!("  {line}")),
    ("indented by four", |line, _| format!("    {line}")),
    ("indented by eight", |line, _| format!("        {line}")),
    ("indented by a tab", |line, _| format!("\t{line}")),
    ("in quotes", |line, _| {
        let words = line.trim_start();
        format!("{}\"{words}\"", &line[..line.len() - words.len()])
    }),
    ("behind a quote sign", |line, _| format!("> {line}")),
    ("commented out", |line, yaml| {
        let words = line.trim_start();
        let indent = &line[..line.len() - words.len()];
        if yaml {
            format!("{indent}# {words}")
        } else {
            format!("{indent}<!-- {words} -->")
        }
    }),
];

/// Tries some lines of a clean set.
fn told(files: &Files, most: usize) -> Outcome {
    let whole = printed(&check(files));
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
    let seed: usize = env::var("FUZZ_SEED")
        .ok()
        .and_then(|seed| seed.parse().ok())
        .unwrap_or(0);
    // Strides that have no factor in common with the count visit each place once.
    let count = places.len();
    let mut lost = Vec::new();
    for k in 0..count.min(most) {
        let (path, n, yaml, (name, deed)) = &places[if count <= most {
            k
        } else {
            (seed * 31 + k * 7919) % count
        }];
        let text = String::from_utf8_lossy(&files[path]).into_owned();
        let mut lines: Vec<String> = text.lines().map(str::to_string).collect();
        lines[*n] = deed(&lines[*n], *yaml);
        let mut changed = files.clone();
        changed.insert(path.clone(), (lines.join("\n") + "\n").into_bytes());
        let checked = check(&changed);
        if checked.compilation.findings.is_empty()
            && let Some(what) = lacks(&printed(&checked), &whole)
        {
            lost.push(format!("{path}:{} {name}: {what} is lost: {}", n + 1, lines[*n]));
        }
    }
    if lost.is_empty() {
        Ok(())
    } else {
        Err(lost.join("\n").into())
    }
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
