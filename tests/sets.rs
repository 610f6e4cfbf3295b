//! Whole sets on disk: each folder `tests/sets/<case>/<variant>/` gives exactly the findings of `<variant>.findings` beside it.

use crate::harness::{check, fixture, snapshot};
use libtest_mimic::Trial;
use std::path::PathBuf;

/// The variants of every case.
pub fn folders() -> Vec<PathBuf> {
    let cases = fixture::entries(&fixture::folder("sets")).into_iter();
    cases
        .flat_map(|case| fixture::entries(&case))
        .filter(|path| path.is_dir())
        .collect()
}

pub fn trials() -> Vec<Trial> {
    let mut trials: Vec<Trial> = folders()
        .into_iter()
        .map(|folder| {
            let name = fixture::relative(&folder).trim_start_matches("tests/").to_string();
            Trial::test(name, move || {
                let checked = check(&fixture::read_folder(&folder, &folder));
                snapshot::compare(&folder.with_extension("findings"), &checked.listing())
            })
        })
        .collect();
    trials.push(Trial::test("sets/ten-mistakes/ten-rules", || {
        let folder = fixture::folder("sets").join("ten-mistakes").join("seeded");
        let codes = check(&fixture::read_folder(&folder, &folder)).codes();
        if codes.len() == 10 && codes.values().all(|count| *count == 1) {
            return Ok(());
        }
        Err(format!("ten mistakes of ten rules are seeded; found were {codes:?}").into())
    }));
    trials
}
