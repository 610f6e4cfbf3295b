//! What the demo sets carry from card to card, where their work may stop, and what their close-out ticks: `tests/ledger/<set>.carried`;
//! the same of texts by hand, `tests/ledger/<name>.txt`.

use crate::harness::{Outcome, check, fixture, ledger, snapshot};
use libtest_mimic::Trial;
use std::path::PathBuf;

/// The demo sets.
const SETS: [&str; 3] = ["air-compressor", "pump-seal", "worm-reducer"];

/// Texts by hand.
const TEXTS: [&str; 2] = ["in-parts", "members"];

/// The expected files, and the texts by hand.
pub fn files() -> impl Iterator<Item = PathBuf> {
    let texts = TEXTS.into_iter().map(|text| format!("{text}.txt"));
    let expected = SETS.into_iter().chain(TEXTS).map(|name| format!("{name}.carried"));
    expected.chain(texts).map(|name| fixture::folder("ledger").join(name))
}

pub fn trials() -> Vec<Trial> {
    let one = |set: &'static str| Trial::test(format!("ledger/carried/{set}"), move || told(set));
    let by_hand = |text: &'static str| Trial::test(format!("ledger/carried/{text}"), move || listed(text));
    SETS.into_iter()
        .map(one)
        .chain(TEXTS.into_iter().map(by_hand))
        .collect()
}

fn listed(text: &str) -> Outcome {
    let folder = fixture::folder("ledger");
    let checked = check(&fixture::read(&folder.join(format!("{text}.txt"))));
    let told = format!("{}{}", checked.listing(), ledger::told(&checked));
    snapshot::compare(&folder.join(format!("{text}.carried")), &told)
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
