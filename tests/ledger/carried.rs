//! What the demo sets carry from card to card, where their work may stop, and what their close-out ticks: `tests/ledger/<set>.carried`;
//! the same of `members.txt`, whose things are each of two sides.

use crate::harness::{Outcome, check, fixture, ledger, snapshot};
use libtest_mimic::Trial;
use std::path::PathBuf;

/// The demo sets.
const SETS: [&str; 3] = ["air-compressor", "pump-seal", "worm-reducer"];

/// The expected files.
pub fn files() -> impl Iterator<Item = PathBuf> {
    let members = ["members.txt", "members.carried"].map(str::to_string);
    let sets = SETS.into_iter().map(|set| format!("{set}.carried"));
    sets.chain(members).map(|name| fixture::folder("ledger").join(name))
}

pub fn trials() -> Vec<Trial> {
    let one = |set: &'static str| Trial::test(format!("ledger/carried/{set}"), move || told(set));
    let members = Trial::test("ledger/carried/members", || {
        let folder = fixture::folder("ledger");
        let checked = check(&fixture::read(&folder.join("members.txt")));
        let told = format!("{}{}", checked.listing(), ledger::told(&checked));
        snapshot::compare(&folder.join("members.carried"), &told)
    });
    SETS.into_iter().map(one).chain([members]).collect()
}

fn told(name: &str) -> Outcome {
    let procedures = fixture::root().join("procedures");
    let mut files = fixture::read_folder(&procedures, &procedures.join(name));
    let shop = procedures.join("workshop.yaml");
    files.insert(fixture::name(&shop), fixture::text(&shop).into_bytes());
    let checked = check(&files);
    snapshot::compare(
        &fixture::folder("ledger").join(format!("{name}.carried")),
        &ledger::told(&checked),
    )
}
