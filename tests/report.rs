//! Findings as text: each `tests/report/<case>.txt` gives the reports `<case>.human` and `<case>.json`.

use crate::harness::{check, fixture, snapshot};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    let mut trials = Vec::new();
    for path in fixture::texts(&fixture::folder("report")) {
        let name = fixture::stem(&path);
        let other = path.clone();
        trials.push(Trial::test(format!("report/{name}/human"), move || {
            snapshot::compare(&path.with_extension("human"), &check(&fixture::read(&path)).human())
        }));
        trials.push(Trial::test(format!("report/{name}/json"), move || {
            snapshot::compare(&other.with_extension("json"), &check(&fixture::read(&other)).json())
        }));
    }
    trials
}
