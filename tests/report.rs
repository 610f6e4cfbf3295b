//! Findings as text: each `tests/report/<case>.txt` gives the reports `<case>.human`, `<case>.json` and `<case>.github`, and a SARIF log
//! that holds to its schema.

use crate::harness::{check, fixture, schema, snapshot};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    let mut trials = Vec::new();
    for path in fixture::texts(&fixture::folder("report")) {
        let name = fixture::stem(&path);
        let other = path.clone();
        trials.push(Trial::test(format!("report/{name}/human"), move || {
            snapshot::compare(&path.with_extension("human"), &check(&fixture::read(&path)).human())
        }));
        let sarif = path_of(&name);
        trials.push(Trial::test(format!("report/{name}/sarif"), move || {
            schema::holds(&check(&fixture::read(&sarif)).sarif())
        }));
        let github = path_of(&name);
        trials.push(Trial::test(format!("report/{name}/github"), move || {
            snapshot::compare(
                &github.with_extension("github"),
                &check(&fixture::read(&github)).github(),
            )
        }));
        trials.push(Trial::test(format!("report/{name}/json"), move || {
            snapshot::compare(&other.with_extension("json"), &check(&fixture::read(&other)).json())
        }));
    }
    trials
}

fn path_of(name: &str) -> std::path::PathBuf {
    fixture::folder("report").join(format!("{name}.txt"))
}
