//! Five rebuilds with mistakes in them: that every edit is one that can be made and that the lines where findings are expected are there;
//! that the clean sets and the harmless edits give nothing, and how many of the mistakes are caught at their place.
//! `tests/machine/READING.md` says how a catch is counted.

mod costs;

use crate::harness::{Checked, Files, Finding, Outcome, Severity, Span, check, fixture};
use libtest_mimic::Trial;
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::env;
use std::iter;
use std::path::PathBuf;

pub fn trials() -> Vec<Trial> {
    let rebuilds = fixture::entries(&fixture::folder("machine"))
        .into_iter()
        .filter(|path| path.is_dir());
    let mut trials = vec![
        Trial::test("machine/clean-sets-give-nothing", clean),
        Trial::test("machine/harmless-edits-give-nothing", harmless),
        Trial::test("machine/mistakes-are-caught", caught),
        Trial::test("machine/what-each-declaration-costs", costs::table),
    ];
    let made = rebuilds
        .flat_map(|rebuild| {
            let name = fixture::relative(&rebuild);
            let name = name.trim_start_matches("tests/").to_string();
            ["mistakes", "harmless"].map(|kind| {
                let rebuild = rebuild.clone();
                Trial::test(format!("{name}/{kind}-can-be-made"), move || {
                    let set = fixture::read(&rebuild.join("set.txt"));
                    let text = fixture::text(&rebuild.join(format!("{kind}.yaml")));
                    let edits: Vec<Edit> = serde_saphyr::from_str(&text)?;
                    assert!(edits.len() >= 10, "there are edits");
                    let wrong: Vec<String> = edits.iter().flat_map(|edit| faults(&set, edit)).collect();
                    if wrong.is_empty() {
                        Ok(())
                    } else {
                        Err(wrong.join("\n").into())
                    }
                })
            })
        })
        .collect::<Vec<Trial>>();
    trials.extend(made);
    trials
}

/// The share of the mistakes that must be caught.
const CAUGHT: f64 = 0.97;

/// Advice on a figure by estimate, which has nothing to do with what the set knows of its machine.
const BY_ESTIMATE: &str = "BL312";

/// One line for each finding: its place, code and words.
fn told(checked: &Checked) -> Vec<String> {
    let findings = checked.compilation.findings.iter();
    let findings = findings.filter(|finding| finding.rule.code != BY_ESTIMATE);
    let place = |finding: &Finding| {
        let span = finding.primary.span;
        let file = checked.files.get(span.file);
        (
            file.path.clone(),
            file.lines().position(&file.text, span.start as usize).line,
        )
    };
    findings
        .map(|f| {
            let (path, line) = place(f);
            format!("{path}:{line}: {}: {}", f.rule.code, f.message)
        })
        .collect()
}

fn clean() -> Outcome {
    let mut wrong = Vec::new();
    for rebuild in rebuilds() {
        let set = fixture::read(&rebuild.join("set.txt"));
        wrong.extend(told(&check(&set)));
    }
    expect_none(&wrong)
}

fn expect_none(wrong: &[String]) -> Outcome {
    if wrong.is_empty() {
        return Ok(());
    }
    Err(wrong.join("\n").into())
}

/// The edits of one kind of all rebuilds, each with its set.
fn edits(kind: &str) -> Result<Vec<(Files, Edit)>, Box<dyn std::error::Error>> {
    let mut all = Vec::new();
    for rebuild in rebuilds() {
        let set = fixture::read(&rebuild.join("set.txt"));
        let text = fixture::text(&rebuild.join(format!("{kind}.yaml")));
        let edits: Vec<Edit> = serde_saphyr::from_str(&text)?;
        all.extend(edits.into_iter().map(|edit| (set.clone(), edit)));
    }
    Ok(all)
}

/// A set after an edit.
fn edited(set: &Files, edit: &Edit) -> Files {
    let mut files = set.clone();
    let first = (&edit.file, &edit.text, &edit.becomes);
    let more = edit.and.iter().map(|c| (&c.file, &c.text, &c.becomes));
    for (path, text, becomes) in iter::once(first).chain(more) {
        for (_, bytes) in files.iter_mut().filter(|(name, _)| name.as_str() == path.as_str()) {
            *bytes = String::from_utf8_lossy(bytes)
                .replacen(text.as_str(), becomes, 1)
                .into_bytes();
        }
    }
    files
}

fn harmless() -> Outcome {
    let mut wrong = Vec::new();
    for (set, edit) in edits("harmless")? {
        let findings = told(&check(&edited(&set, &edit)));
        wrong.extend(findings.into_iter().map(|finding| format!("{}: {finding}", edit.name)));
    }
    expect_none(&wrong)
}

/// True if a span begins on the line that a place names.
fn stands_at(checked: &Checked, span: Span, Place(path, words): &Place) -> bool {
    let file = checked.files.get(span.file);
    if file.path != *path {
        return false;
    }
    let start = file.text[..span.start as usize].rfind('\n').map_or(0, |end| end + 1);
    let line = file.text[start..].lines().next().unwrap_or("");
    line.contains(words.trim_end_matches('\n'))
}

/// True if the mistake is told at its place.
fn is_caught(before: &BTreeSet<String>, checked: &Checked, edit: &Edit) -> bool {
    let lines = told(checked);
    let findings = checked.compilation.findings.iter();
    let findings = findings.filter(|finding| finding.rule.code != BY_ESTIMATE);
    findings.zip(&lines).any(|(finding, line)| {
        let level = finding.severity() == Severity::Error || finding.rule.name == "unreachable-step";
        let at = [&edit.at, &edit.or].into_iter().flatten();
        let first = at
            .into_iter()
            .any(|place| stands_at(checked, finding.primary.span, place));
        let second = edit.also.as_ref().is_none_or(|place| {
            finding
                .secondary
                .iter()
                .any(|label| stands_at(checked, label.span, place))
        });
        level && first && second && !before.contains(line)
    })
}

fn caught() -> Outcome {
    let edits = edits("mistakes")?;
    let (all, mut missed) = (edits.len(), Vec::new());
    for (set, edit) in edits {
        let before: BTreeSet<String> = told(&check(&set)).into_iter().collect();
        let checked = check(&edited(&set, &edit));
        if !is_caught(&before, &checked, &edit) {
            let findings = told(&checked);
            missed.push(format!(
                "{} ({})\n      {}",
                edit.name,
                edit.file,
                findings.join("\n      ")
            ));
        }
    }
    let caught = all - missed.len();
    println!("machine: {caught} of {all} mistakes caught");
    if env::var_os("SHOW").is_some() || (caught as f64) < CAUGHT * all as f64 {
        return Err(format!("{caught} of {all} caught; not:\n{}", missed.join("\n")).into());
    }
    Ok(())
}

/// The folder of each rebuild.
pub fn rebuilds() -> Vec<PathBuf> {
    let mut folders = fixture::entries(&fixture::folder("machine"));
    folders.retain(|path| path.is_dir());
    folders
}

/// One edit of a clean set, as `READING.md` describes it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Edit {
    name: String,
    #[serde(alias = "what")]
    wrong: String,
    file: String,
    text: String,
    becomes: String,
    #[serde(default)]
    and: Vec<Change>,
    at: Option<Place>,
    also: Option<Place>,
    or: Option<Place>,
    #[serde(default)]
    breaches: Vec<String>,
}

/// A text that stands once in a file and becomes another.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Change {
    file: String,
    text: String,
    becomes: String,
}

/// File, and what stands on one of its lines alone.
#[derive(Deserialize)]
struct Place(String, String);

/// What keeps an edit from being made, or what it does from being looked for.
fn faults(set: &Files, edit: &Edit) -> Vec<String> {
    let mut files: BTreeMap<&str, String> = set
        .iter()
        .map(|(path, bytes)| (path.as_str(), String::from_utf8_lossy(bytes).into_owned()))
        .collect();
    let mut faults = Vec::new();
    let first = (&edit.file, &edit.text, &edit.becomes);
    let more = edit
        .and
        .iter()
        .map(|change| (&change.file, &change.text, &change.becomes));
    for (file, text, becomes) in iter::once(first).chain(more) {
        match files.get_mut(file.as_str()) {
            None => faults.push(format!("there is no file {file}")),
            Some(whole) if text == becomes => faults.push(format!("nothing changes in {}", whole.len())),
            Some(whole) => match whole.matches(text.as_str()).count() {
                1 => *whole = whole.replace(text.as_str(), becomes),
                times => faults.push(format!("{text:?} stands {times} times in {file}")),
            },
        }
    }
    for Place(file, line) in [&edit.at, &edit.also, &edit.or].into_iter().flatten() {
        let whole = files.get(file.as_str()).map_or("", String::as_str);
        match whole
            .lines()
            .filter(|l| l.contains(line.trim_end_matches('\n')))
            .count()
        {
            1 => {}
            lines => faults.push(format!("{line:?} stands on {lines} lines of {file}")),
        }
    }
    // A mistake says where it is to be found and what it breaks; what is harmless has nothing to find.
    if edit.at.is_some() == edit.breaches.is_empty() || edit.wrong.is_empty() {
        faults.push("says only half of what it is".to_string());
    }
    faults
        .into_iter()
        .map(|fault| format!("{}: {fault}", edit.name))
        .collect()
}
