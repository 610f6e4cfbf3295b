//! What random sets once brought to light, each by hand and as small as it goes: `tests/ledger/settled/<name>.txt` gives exactly the
//! findings beside it.

use crate::harness::{check, fixture, snapshot};
use libtest_mimic::Trial;
use std::path::PathBuf;

fn texts() -> Vec<PathBuf> {
    let mut texts = fixture::entries(&fixture::folder("ledger").join("settled"));
    texts.retain(|path| path.extension().is_some_and(|ending| ending == "txt"));
    texts
}

/// The texts and the expected files.
pub fn files() -> impl Iterator<Item = PathBuf> {
    texts()
        .into_iter()
        .flat_map(|path| [path.with_extension("findings"), path])
}

pub fn trials() -> Vec<Trial> {
    let one = |path: PathBuf| {
        Trial::test(format!("ledger/settled/{}", fixture::stem(&path)), move || {
            let checked = check(&fixture::read(&path));
            snapshot::compare(&path.with_extension("findings"), &checked.listing())
        })
    };
    texts().into_iter().map(one).collect()
}
