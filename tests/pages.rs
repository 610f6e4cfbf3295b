//! The pages of the rules: every example gives its finding, and what stands instead gives none. See `harness/page.rs` for how a page is read.

use crate::harness::{Files, Outcome, check_on, fixture, page, rule, rules};
use libtest_mimic::Trial;

/// Rules that no text can break: one is about bytes, one about a file of 64 MiB. Their fixtures try them.
const WITHOUT: [&str; 2] = ["not-text", "file-too-long"];

/// Rules that ask what day it is, as their fixtures do.
const DATED: [&str; 1] = ["calibration-over"];

pub fn trials() -> Vec<Trial> {
    let tried = rules()
        .iter()
        .filter(|rule| !WITHOUT.contains(&rule.name) && !rule::by_printing(rule.name));
    let trial = |rule: &&'static crate::harness::Rule| match DATED.contains(&rule.name) {
        true => page::trial(rule, |files: &Files| check_on(files, "2026-06-30")),
        false => page::trial(rule, page::since_before),
    };
    let mut trials: Vec<Trial> = tried.map(trial).collect();
    trials.push(Trial::test("pages/of-the-manual", manual));
    trials
}

/// Every example of the manual is clean as it stands.
fn manual() -> Outcome {
    let (mut faults, mut tried) = (Vec::new(), 0);
    for path in fixture::entries(&fixture::root().join("compiler/edge/manual")) {
        if path.extension().is_none_or(|ending| ending != "md") {
            continue;
        }
        match page::clean(&fixture::text(&path)) {
            Ok(has_one) => tried += usize::from(has_one),
            Err(findings) => faults.push(format!("{}:\n{findings}", fixture::name(&path))),
        }
    }
    if tried < 13 {
        faults.push(format!("only {tried} pages have an example"));
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}
