//! Calculations as cards print them: each `tests/calc/<name>.txt` gives exactly the lines of `<name>.working`.

use crate::harness::{fixture, job, snapshot};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    let fixtures = fixture::texts(&fixture::folder("calc")).into_iter();
    let trial = |path: std::path::PathBuf| {
        Trial::test(format!("calc/{}", fixture::stem(&path)), move || {
            snapshot::compare(&path.with_extension("working"), &job::workings(&fixture::read(&path))?)
        })
    };
    fixtures.map(trial).collect()
}
