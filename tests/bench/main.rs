//! `cargo bench`: speed beside its floor, in the same run and in turns, so that a slow or busy machine slows both.
//!
//! A figure is the median of several rounds; a ratio is the median of the rounds' own ratios. Nothing here fails on a slow day: the
//! numbers are for a person to judge.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::string_slice,
    clippy::unreachable,
    clippy::unwrap_used,
    reason = "a bench reads files, looks at the clock and prints"
)]

mod corpus;
mod tied;

use benchleaf_core::cards::Deck;
use benchleaf_core::cards::card::Card;
use benchleaf_core::compile;
use benchleaf_core::diff::{Side, diff};
use benchleaf_core::model::Choices;
use benchleaf_core::source::FileSet;
use benchleaf_press::{Assets, Format, Settings, Typesetter, figures, forget};
use std::hint::black_box;
use std::time::{Duration, Instant};

/// Memory is handed out as in the program.
#[cfg(all(target_os = "linux", target_env = "gnu"))]
#[global_allocator]
static ALLOCATOR: tikv_jemallocator::Jemalloc = tikv_jemallocator::Jemalloc;

const ROUNDS: usize = 9;

fn main() {
    println!(
        "{:<52} {:>10} {:>10} {:>7} {:>7}",
        "what, against its floor", "ours", "floor", "ratio", "wanted"
    );
    // `cargo bench -- diff` runs what has that in its name.
    let wanted: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with("--")).collect();
    let benches: [(&str, fn()); 9] = [
        ("check-thousand", check_thousand),
        ("check-phases", phases),
        ("check-one", check_one),
        ("check-ties", check_ties),
        ("check-options", check_options),
        ("diff-thousand", diff_thousand),
        ("card", three_leaf_card),
        ("card-by-hand", by_hand),
        ("read-back", read_back),
    ];
    let chosen = |name: &str| wanted.is_empty() || wanted.iter().any(|w| name.contains(w.as_str()));
    benches
        .iter()
        .filter(|(name, _)| chosen(name))
        .for_each(|(_, bench)| bench());
}

/// Runs both in turns and prints medians and the median ratio.
fn pair(what: &str, wanted: f64, mut ours: impl FnMut(), mut floor: impl FnMut()) {
    let time = |f: &mut dyn FnMut()| {
        let start = Instant::now();
        f();
        start.elapsed()
    };
    time(&mut ours);
    time(&mut floor);
    let mut rounds: Vec<(Duration, Duration)> = (0..ROUNDS).map(|_| (time(&mut ours), time(&mut floor))).collect();
    rounds.sort_by(|a, b| ratio(a).total_cmp(&ratio(b)));
    let middle = ratio(&rounds[ROUNDS / 2]);
    let (ours, floor) = (median(rounds.iter().map(|r| r.0)), median(rounds.iter().map(|r| r.1)));
    println!(
        "{what:<52} {:>10} {:>10} {middle:>6.2}x {:>7}",
        millis(ours),
        millis(floor),
        format!("<={wanted}x")
    );
}

fn ratio(round: &(Duration, Duration)) -> f64 {
    round.0.as_secs_f64() / round.1.as_secs_f64()
}

fn median(times: impl Iterator<Item = Duration>) -> Duration {
    let mut times: Vec<Duration> = times.collect();
    times.sort();
    times[times.len() / 2]
}

fn millis(time: Duration) -> String {
    format!("{:.2} ms", time.as_secs_f64() * 1e3)
}

/// `check` of 1,000 procedures against the Markdown parser and the YAML reader alone on the same bytes.
fn check_thousand() {
    let texts = corpus::procedures(1000);
    let bytes: usize = texts.iter().map(|(_, t)| t.len()).sum();
    let files = || FileSet::from_texts(texts.iter().map(|(p, t)| (p.as_str(), t.as_str())));
    let findings = compile(&files()).findings;
    assert!(
        findings.is_empty(),
        "the corpus is meant to be clean: {}",
        findings.first().map_or("", |finding| &finding.message)
    );
    pair(
        &format!("check 1,000 procedures ({} KiB) / parsers alone", bytes / 1024),
        3.5,
        || {
            black_box(compile(&files()));
        },
        || texts.iter().for_each(|(_, text)| corpus::parse_alone(text)),
    );
}

/// Where the time of a check goes, phase by phase, in one process.
fn phases() {
    let texts = corpus::procedures(1000);
    let files = FileSet::from_texts(texts.iter().map(|(p, t)| (p.as_str(), t.as_str())));
    let mut spent = [Duration::ZERO; 3];
    for _ in 0..ROUNDS {
        let start = Instant::now();
        let (documents, _) = benchleaf_core::parse::parse(&files);
        let parsed = Instant::now();
        let (model, _) = benchleaf_core::model::build(&files, documents);
        let bound = Instant::now();
        black_box(benchleaf_core::check::check(&model, |_| true));
        for (sum, time) in spent.iter_mut().zip([parsed - start, bound - parsed, bound.elapsed()]) {
            *sum += time;
        }
    }
    let [parse, model, check] = spent.map(|t| millis(t / ROUNDS as u32));
    println!("  of which: parse {parse}, model {model}, check {check}");
}

/// One procedure of a small set: the time a save in an editor costs.
fn check_one() {
    let texts = corpus::procedures(1);
    pair(
        "check 1 procedure / parsers alone",
        5.0,
        || {
            black_box(compile(&FileSet::from_texts(
                texts.iter().map(|(p, t)| (p.as_str(), t.as_str())),
            )));
        },
        || texts.iter().for_each(|(_, text)| corpus::parse_alone(text)),
    );
}

/// A set as the compiler takes it.
fn set(texts: &[(String, String)]) -> FileSet {
    FileSet::from_texts(texts.iter().map(|(p, t)| (p.as_str(), t.as_str())))
}

/// What it costs to know how a machine is built: 1,000 procedures that use every tie and mark, against the same without them.
fn check_ties() {
    let (with, without) = (tied::procedures(1000, true), tied::procedures(1000, false));
    pair(
        "check 1,000 procedures with ties / without",
        1.5,
        || {
            black_box(compile(&set(&with)));
        },
        || {
            black_box(compile(&set(&without)));
        },
    );
}

/// A set with forty options that all bear on one action.
fn check_options() {
    let texts = tied::options(40);
    let mut times: Vec<Duration> = Vec::new();
    for _ in 0..ROUNDS {
        let start = Instant::now();
        black_box(compile(&set(&texts)));
        times.push(start.elapsed());
    }
    println!(
        "{:<52} {:>10} {:>10} {:>7} {:>7}",
        "check a set with 40 options",
        millis(median(times.into_iter())),
        "",
        "",
        "<=1 s"
    );
}

fn side<'a>(files: &'a FileSet, compilation: &'a benchleaf_core::Compilation, name: &'a str) -> Side<'a> {
    Side {
        files,
        model: &compilation.model,
        facts: &compilation.facts,
        blocked: &[],
        name,
    }
}

/// Two revisions of 1,000 procedures read, checked and compared, against checking one of them.
fn diff_thousand() {
    let old = corpus::procedures(1000);
    let new = corpus::revised(&old);
    let files = |texts: &[(String, String)]| FileSet::from_texts(texts.iter().map(|(p, t)| (p.as_str(), t.as_str())));
    pair(
        "diff 1,000 procedures x 2 revisions / checking once",
        3.0,
        || {
            let (old, new) = (files(&old), files(&new));
            let (was, is) = (compile(&old), compile(&new));
            let found = diff(side(&old, &was, "old"), side(&new, &is, "new"));
            assert!(found.matters());
            black_box(found);
        },
        || {
            black_box(compile(&files(&old)));
        },
    );
}

/// A card of three leaves through templates, typesetter and PDF, against the typesetter alone on the very source we generate.
fn three_leaf_card() {
    let typesetter = Typesetter::new(&Default::default()).expect("embedded templates");
    let cards = sourced(&typesetter);
    let leaves = |(card, assets, _): &Sourced| {
        let document = typesetter.typeset(card, assets, &Settings::default());
        document.expect("demo card").leaves()
    };
    let Some((off, card)) = cards
        .iter()
        .map(|card| (leaves(card).abs_diff(3), card))
        .min_by_key(|(off, _)| *off)
    else {
        return;
    };
    let title = format!("card of 3 ± {off} leaves to PDF / typesetter on its source");
    to_pdf(&title, 1.5, &typesetter, std::slice::from_ref(card));
}

/// Cards to PDF as a build makes them, read back and all, against the same words set by hand as simply as they can be.
fn by_hand() {
    let typesetter = Typesetter::new(&Default::default()).expect("embedded templates");
    let plain = include_bytes!("plain.typ.j2").to_vec();
    let plain = Typesetter::new(&[("card.typ.j2".to_string(), plain)].into()).expect("a template of its own");
    let files = corpus::demo();
    let cards = all_cards(&files, &compile(&files)).into_iter();
    let with_source = |card: Card| {
        let source = plain.typst_source(&card, &Settings::default()).expect("demo card");
        let assets = pictures(&files, &card);
        (card, assets, source)
    };
    let cards: Vec<Sourced> = cards.map(with_source).collect();
    let leaves = |by_hand: bool| -> usize {
        let of = |(card, assets, source): &Sourced| match by_hand {
            true => plain.compile_source(source, assets).expect("a source by hand").leaves(),
            false => typesetter
                .typeset(card, assets, &Settings::default())
                .expect("demo card")
                .leaves(),
        };
        cards.iter().map(of).sum()
    };
    let title = format!(
        "{} cards, {} leaves / {} set by hand",
        cards.len(),
        leaves(false),
        leaves(true)
    );
    to_pdf(&title, 1.25, &typesetter, &cards);
}

/// What it costs to read pages back: cards to PDF as a build makes them, against the same sources typeset and written without looking. The
/// templates that make the sources are part of the cost, so that it can only look too high.
fn read_back() {
    let typesetter = Typesetter::new(&Default::default()).expect("embedded templates");
    let cards = sourced(&typesetter);
    let some = &cards[..6.min(cards.len())];
    let title = format!("{} cards read back / the same without looking", some.len());
    to_pdf(&title, 1.05, &typesetter, some);
}

/// A card with its pictures and the source that the templates make of it.
type Sourced = (Card, Assets, String);

/// Every card of the demo sets.
fn sourced(typesetter: &Typesetter) -> Vec<Sourced> {
    let files = corpus::demo();
    let cards = all_cards(&files, &compile(&files)).into_iter();
    let with_source = |card: Card| {
        let source = typesetter.typst_source(&card, &Settings::default());
        let assets = pictures(&files, &card);
        (card, assets, source.expect("demo card"))
    };
    cards.map(with_source).collect()
}

/// Cards to PDF as a build makes them, against the typesetter on their sources.
fn to_pdf(title: &str, wanted: f64, typesetter: &Typesetter, cards: &[Sourced]) {
    pair(
        title,
        wanted,
        || {
            for (card, assets, _) in cards {
                forget();
                let document = typesetter
                    .typeset(card, assets, &Settings::default())
                    .expect("demo card");
                assert!(document.breaches.is_empty(), "{:?}", document.breaches);
                black_box(document.export(Format::Pdf).expect("demo card"));
            }
        },
        || {
            for (_, assets, source) in cards {
                forget();
                let document = typesetter.compile_source(source, assets).expect("demo card");
                black_box(document.export(Format::Pdf).expect("demo card"));
            }
        },
    );
}

fn all_cards(files: &FileSet, compilation: &benchleaf_core::Compilation) -> Vec<Card> {
    let mut cards = Vec::new();
    for (set, facts) in compilation.model.sets.iter().zip(&compilation.facts) {
        let choices = Choices::defaults(&set.catalogue);
        let deck = Deck::new(files, set, facts, &choices);
        cards.extend(set.procedures.ids().map(|id| deck.card(id)));
    }
    cards
}

fn pictures(files: &FileSet, card: &Card) -> Assets {
    let mut assets = Assets::default();
    for path in figures(card) {
        let found = files.assets().iter().find(|(p, _)| p.ends_with(&path));
        if let Some((_, bytes)) = found {
            assets.insert(path, bytes.clone());
        }
    }
    assets
}
