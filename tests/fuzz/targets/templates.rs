//! A template of somebody else's laid over ours: faults or a page, never a stop.
//!
//! The first line of a text names the template, the rest is what it says. It starts from ours.
#![no_main]

use benchleaf_core::cards::Deck;
use benchleaf_core::cards::card::Card;
use benchleaf_core::compile;
use benchleaf_core::model::Choices;
use benchleaf_core::source::FileSet;
use benchleaf_fuzz::{cross, mutate, root};
use benchleaf_press::{Assets, Format, Settings, Typesetter, forget};
use libfuzzer_sys::{fuzz_crossover, fuzz_mutator, fuzz_target};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::LazyLock;

/// A bit of all that a card has.
const WORK: &str = "---\ntitle: Cover of the gear case (invented)\ntorques:\n  screws:\n    name: cover screws\n    fastener: M6x1 8.8\n    \
    count: 4\n    torque: 9 N·m\n    lubrication: dry\nlimits:\n  bore: {name: bore, limit: 30.00..30.02 mm, where: [front, rear]}\nparts:\n  \
    cover: {name: Cover, number: C-1}\n---\n\n# Open\n\n> [!WARNING] Stored pressure\n> The cover can fly off and break bones.\n\
    > Avoid: open the drain first.\n\n1. Take off the [remove cover].\n   1. Look at its face.\n2. Measure the [measure bore] at both ends.\n\
    3. Put on the [fit cover].\n4. Tighten the [torque screws] in **two** passes.\n";

static CARD: LazyLock<Card> = LazyLock::new(|| {
    let set = "machine: Generated machine (invented)\ntitle: Generated set\nrev: A\ndate: 2026-01-31\n";
    let files = FileSet::from_texts([("set/set.yaml", set), ("set/10-cover.md", WORK)]);
    let compiled = compile(&files);
    assert!(!compiled.has_errors(), "{:?}", compiled.findings);
    let (set, facts) = compiled.model.sets.iter().zip(&compiled.facts).next().expect("a set");
    let choices = Choices::defaults(&set.catalogue);
    let deck = Deck::new(&files, set, facts, &choices);
    let card = set.procedures.ids().map(|id| deck.card(id)).next();
    card.expect("a card")
});

/// Ours, each with its name in the first line, into the corpus where `SEEDS=1` stands in the environment.
fn sow() {
    if std::env::var_os("SEEDS").is_none() {
        return;
    }
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus/templates");
    std::fs::create_dir_all(&corpus).expect("a folder for the corpus");
    let templates = root().join("templates");
    let names = std::fs::read_dir(templates.join("lib")).expect("our templates").flatten();
    let names = names.map(|entry| format!("lib/{}", entry.file_name().to_string_lossy()));
    for (n, name) in names.chain(["card.typ.j2".to_string()]).enumerate() {
        let text = std::fs::read_to_string(templates.join(&name)).expect("a template");
        std::fs::write(corpus.join(format!("seed-{n:02}")), format!("{name}\n{text}")).expect("a seed");
    }
}

fn ask(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let (name, says) = text.split_once('\n').unwrap_or(("card.typ.j2", &text));
    let user = BTreeMap::from([(name.to_string(), says.as_bytes().to_vec())]);
    let Ok(typesetter) = Typesetter::new(&user) else { return };
    if let Ok(document) = typesetter.typeset(&*CARD, &Assets::default(), &Settings::default())
        && document.breaches.is_empty()
    {
        let _ = document.export(Format::Pdf);
    }
    forget();
}

fuzz_target!(init: { sow(); ask(b"") }, |bytes: &[u8]| ask(bytes));

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| { mutate(data, size, max_size, seed) });

fuzz_crossover!(|data1: &[u8], data2: &[u8], out: &mut [u8], seed: u32| { cross(data1, data2, out, seed) });
