//! Markdown to trees: each `tests/parse/<case>.txt` gives the trees and findings of `<case>.tree`.

use crate::harness::{fixture, snapshot, tree};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    let one = |path: std::path::PathBuf| {
        Trial::test(format!("parse/{}", fixture::stem(&path)), move || {
            snapshot::compare(&path.with_extension("tree"), &tree::trees(&fixture::read(&path)))
        })
    };
    fixture::texts(&fixture::folder("parse")).into_iter().map(one).collect()
}
