//! Figures at the wrench: each `tests/wrench/<name>.txt` gives exactly what `<name>.settings` says of its torques, and what is printed is
//! worked out once more by other arithmetic.

#[allow(dead_code, reason = "the press's suite reads the same cases back from paper")]
mod again;
mod slips;

use crate::harness::{fixture, settings, snapshot};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    let fixtures = fixture::texts(&fixture::folder("wrench")).into_iter();
    let trial = |path: std::path::PathBuf| {
        Trial::test(format!("wrench/{}", fixture::stem(&path)), move || {
            let said = settings::listing(&fixture::read(&path))?;
            snapshot::compare(&path.with_extension("settings"), &said)
        })
    };
    let mut trials: Vec<Trial> = fixtures.map(trial).collect();
    trials.push(Trial::test(
        "wrench/a-thousand-settings-worked-out-again",
        again::thousand,
    ));
    trials.push(Trial::test("wrench/every-unit-slip-is-in-the-table", slips::table));
    trials
}
