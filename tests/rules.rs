//! Each rule of the core by its fixtures.

use crate::harness::revisions::{below, check_since};
use crate::harness::{Checked, Files, check, check_on, fixture, rule};
use libtest_mimic::Trial;

/// Rules that compare two states: the older one lies below `before/` of the fixture.
const COMPARED: [&str; 1] = ["revision-not-raised"];

/// Rules that ask what day it is: for their fixtures it is always the same.
const DATED: [&str; 1] = ["calibration-over"];
const TODAY: &str = "2026-06-30";

pub fn trials() -> Vec<Trial> {
    let mut trials = Vec::new();
    for folder in rule::folders() {
        match fixture::name(&folder).as_str() {
            name if rule::by_printing(name) => {}
            name if COMPARED.contains(&name) => trials.extend(rule::trials(&folder, compared)),
            name if DATED.contains(&name) => trials.extend(rule::trials(&folder, dated)),
            _ => trials.extend(rule::trials(&folder, check)),
        }
    }
    trials
}

fn compared(files: &Files) -> Checked {
    let mut now = files.clone();
    now.retain(|path, _| !path.starts_with("before/"));
    check_since(&below(files, "before"), &now)
}

fn dated(files: &Files) -> Checked {
    check_on(files, TODAY)
}
