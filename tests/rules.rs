//! Each rule by its fixtures: `fires.txt` gives exactly the findings of `fires.findings`, `silent.txt`, the nearest legal text, none
//! of that rule.

use crate::harness::revisions::check_since;
use crate::harness::{Checked, Files, Outcome, check, check_on, check_printed, fixture, rules, snapshot};
use libtest_mimic::Trial;
use std::path::{Path, PathBuf};

/// Rules that only a build with the typesetter can break.
const PRINTED: [&str; 1] = ["missing-glyph"];

/// Rules that compare two states: the older one lies below `before/` of the fixture.
const COMPARED: [&str; 1] = ["revision-not-raised"];

/// Rules that ask what day it is: for their fixtures it is always the same.
const DATED: [&str; 1] = ["calibration-over"];
const TODAY: &str = "2026-06-30";

/// The fixture folders, named after their rules.
pub fn folders() -> Vec<PathBuf> {
    fixture::entries(&fixture::folder("rules"))
}

pub fn trials() -> Vec<Trial> {
    let mut trials = Vec::new();
    for folder in folders() {
        let name = fixture::name(&folder);
        if PRINTED.contains(&name.as_str()) && !cfg!(feature = "typeset") {
            continue;
        }
        let silent = folder.clone();
        trials.push(Trial::test(format!("rules/{name}/fires"), move || fires(&folder)));
        trials.push(Trial::test(format!("rules/{name}/silent"), move || quiet(&silent)));
    }
    trials
}

/// The code of the rule a folder is named after.
fn code(folder: &Path) -> Result<&'static str, String> {
    let name = fixture::name(folder);
    let rule = rules().iter().find(|rule| rule.name == name);
    rule.map(|rule| rule.code)
        .ok_or_else(|| format!("there is no rule `{name}`"))
}

/// Compiles a fixture, with what its rule needs.
fn findings(folder: &Path, files: &Files) -> Checked {
    if COMPARED.contains(&fixture::name(folder).as_str()) {
        let mut now = files.clone();
        now.retain(|path, _| !path.starts_with("before/"));
        check_since(&crate::diff::below(files, "before"), &now)
    } else if DATED.contains(&fixture::name(folder).as_str()) {
        check_on(files, TODAY)
    } else if PRINTED.contains(&fixture::name(folder).as_str()) {
        check_printed(files)
    } else {
        check(files)
    }
}

fn fires(folder: &Path) -> Outcome {
    let code = code(folder)?;
    let files = fixture::read(&folder.join("fires.txt"));
    let checked = findings(folder, &files);
    if !checked.codes().contains_key(code) {
        return Err(format!("{code} doesn't fire; what does:\n{}", checked.listing()).into());
    }
    let uncured = checked.uncured(&files);
    if !uncured.is_empty() {
        return Err(uncured.join("\n").into());
    }
    snapshot::compare(&folder.join("fires.findings"), &checked.listing())
}

fn quiet(folder: &Path) -> Outcome {
    let code = code(folder)?;
    let checked = findings(folder, &fixture::read(&folder.join("silent.txt")));
    if checked.codes().contains_key(code) {
        return Err(format!("{code} fires:\n{}", checked.listing()).into());
    }
    Ok(())
}
