//! Changes that findings offer, over every fixture: each, once made, takes its finding away and brings none of form, names or values.

use crate::harness::{Outcome, check, fixture, rule};
use crate::{sets, slips};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    vec![Trial::test("fixes/right-or-absent", right)]
}

fn right() -> Outcome {
    let mut wrong = Vec::new();
    let mut offered = 0;
    let mut all: Vec<(String, crate::harness::Files)> = Vec::new();
    for folder in rule::folders() {
        for name in ["fires.txt", "silent.txt"] {
            // A file past what can be read would be compiled over and over.
            if fixture::name(&folder) != "file-too-long" {
                all.push((fixture::relative(&folder), fixture::read(&folder.join(name))));
            }
        }
    }
    for folder in sets::folders() {
        all.push((fixture::relative(&folder), fixture::read_folder(&folder, &folder)));
    }
    all.extend(slips::all());
    for (name, files) in all {
        let checked = check(&files);
        offered += checked
            .compilation
            .findings
            .iter()
            .filter(|f| f.fix.as_ref().is_some_and(|fix| fix.replace.is_some()))
            .count();
        wrong.extend(
            checked
                .wrong_changes(&files)
                .into_iter()
                .map(|fault| format!("{name}: {fault}")),
        );
    }
    if !wrong.is_empty() {
        return Err(wrong.join("\n").into());
    }
    // Few changes would pass for many that are right.
    if offered < 100 {
        Err(format!("only {offered} changes are offered").into())
    } else {
        Ok(())
    }
}
