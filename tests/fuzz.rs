//! Any text: whatever stands in the files, compiling gives findings and never a panic.
//!
//! Half of the inputs are noise; the other half are the demo sets with pieces deleted, doubled, moved, spliced and replaced, which get
//! past the first few checks. The inputs are the same in every run; `FUZZ_SEED=7` gives others, `PROPTEST_CASES=5000` more of them.
//!
//! Then what the fuzzer of `tests/fuzz/` is run on: each of its targets over some hundred of its own changes of fixtures, by a fixed seed,
//! and over every text that it ever tripped over (`tests/fuzz/found/<target>/`).

use crate::harness::fuzz::change::{changed, crossed};
use crate::harness::fuzz::pool::PIECES;
use crate::harness::fuzz::seeds::seeds;
use crate::harness::fuzz::{Chance, Target};
use crate::harness::revisions::compare;
use crate::harness::{Files, Outcome, check, check_texts, fixture, sound};
use libtest_mimic::Trial;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::env;
use std::fmt;
use std::panic;
use std::sync::LazyLock;

pub fn trials() -> Vec<Trial> {
    let mut trials = vec![
        Trial::test("fuzz/noise", || run(256, noise(), |input| stands(&input.0))),
        Trial::test("fuzz/mutated-demos", || run(96, mutated(), |input| stands(&input.0))),
        Trial::test("fuzz/mutated-demos-compared", || {
            run(48, mutated(), |input| compares(&input.0))
        }),
        Trial::test("fuzz/any-order-of-files", || {
            run(48, shuffled(), |(input, order)| order_is_nothing(&input.0, &order))
        }),
    ];
    for target in Target::ALL {
        trials.push(Trial::test(format!("fuzz/target/{}", target.name()), move || {
            smoke(target)
        }));
        let found = fixture::entries(&fixture::folder("fuzz").join("found").join(target.name()));
        trials.extend(found.into_iter().map(|path| {
            let name = format!("fuzz/found/{}/{}", target.name(), fixture::stem(&path));
            Trial::test(name, move || Ok(asked(target, &fixture::text(&path))?))
        }));
    }
    trials
}

/// The longest text of a short run; a fuzzer goes further.
const SHORT: usize = 12 << 10;

/// A target over changes of what it starts from.
fn smoke(target: Target) -> Outcome {
    let all = seeds(target);
    let short: Vec<&String> = all.iter().filter(|seed| seed.len() < SHORT).collect();
    let usual = match target {
        Target::Values => 3000,
        Target::Marks | Target::FrontMatter | Target::Body | Target::Record => 200,
        Target::Set | Target::Desk | Target::Format | Target::Compared => 80,
    };
    let cases = env::var("PROPTEST_CASES").ok().and_then(|cases| cases.parse().ok());
    let seed: u64 = env::var("FUZZ_SEED")
        .ok()
        .and_then(|seed| seed.parse().ok())
        .unwrap_or(0);
    let mut chance = Chance::new(seed);
    for case in 0..cases.unwrap_or(usual) {
        let (Some(one), Some(other)) = (chance.one(&short), chance.one(&short)) else {
            return Err(format!("nothing to start {} from", target.name()).into());
        };
        let own = seed.wrapping_add(case);
        let text = match chance.below(4) {
            0 => crossed(one, other, own, SHORT),
            _ => one.to_string(),
        };
        asked(target, &changed(&text, own, SHORT))?;
    }
    Ok(())
}

/// What a target says of a text; a stop is a fault as well, and tells its text.
fn asked(target: Target, text: &str) -> Result<(), String> {
    let result = panic::catch_unwind(|| target.run(text));
    let words = match result {
        Ok(Ok(())) => return Ok(()),
        Ok(Err(words)) => words,
        Err(payload) => payload
            .downcast_ref::<String>()
            .cloned()
            .or_else(|| payload.downcast_ref::<&str>().map(ToString::to_string))
            .unwrap_or_default(),
    };
    Err(format!("{words}\n=== of the text ===\n{text}"))
}

/// Files, shown as texts when a property fails for them.
#[derive(Clone)]
struct Input(Files);

impl fmt::Debug for Input {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        self.0
            .iter()
            .try_for_each(|(path, bytes)| write!(f, "\n=== {path}\n{}", String::from_utf8_lossy(bytes)))
    }
}

/// Runs a property over inputs that depend on nothing but the seed.
fn run<S: Strategy>(cases: u32, strategy: S, property: impl Fn(S::Value) -> Result<(), String>) -> Outcome
where
    S::Value: std::fmt::Debug,
{
    let wanted = env::var("PROPTEST_CASES").ok().and_then(|cases| cases.parse().ok());
    let config = Config {
        cases: wanted.unwrap_or(cases),
        failure_persistence: None,
        ..Config::default()
    };
    let seed: u64 = env::var("FUZZ_SEED")
        .ok()
        .and_then(|seed| seed.parse().ok())
        .unwrap_or(0);
    let mut bytes = [0; 32];
    bytes[..8].copy_from_slice(&seed.to_le_bytes());
    let mut runner = TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &bytes));
    let result = runner.run(&strategy, |input| property(input).map_err(TestCaseError::fail));
    result.map_err(|error| error.to_string().into())
}

/// Whatever became of the demo sets, comparing them with what they were gives a diff, and there is a change one way if there is one back.
fn compares(files: &Files) -> Result<(), String> {
    let procedures = fixture::root().join("procedures");
    let demo = fixture::read_folder(&procedures, &procedures);
    let (there, back) = (compare(&demo, files), compare(files, &demo));
    if there.diff.matters() != back.diff.matters() {
        return Err(format!("there: {}\nback: {}", there.human, back.human));
    }
    let same = compare(files, files);
    if same.diff.sets.is_empty() {
        Ok(())
    } else {
        Err(format!("compared with itself: {}", same.human))
    }
}

fn stands(files: &Files) -> Result<(), String> {
    let faults = sound::faults(files);
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults.join("\n"))
    }
}

fn order_is_nothing(files: &Files, order: &[usize]) -> Result<(), String> {
    let texts: Vec<(&str, &str)> = files
        .iter()
        .filter_map(|(path, bytes)| Some((path.as_str(), std::str::from_utf8(bytes).ok()?)))
        .collect();
    let moved: Vec<(&str, &str)> = order.iter().filter_map(|n| texts.get(*n).copied()).collect();
    let files: Files = moved
        .iter()
        .map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()))
        .collect();
    let same = sound::same(&check_texts(&moved), &check(&files));
    if same {
        Ok(())
    } else {
        Err("the order of the files changes the findings".to_string())
    }
}

/// The files of each demo set with the shop's.
static DEMOS: LazyLock<Vec<Files>> = LazyLock::new(|| {
    let procedures = fixture::root().join("procedures");
    let shop = fixture::text(&procedures.join("workshop.yaml")).into_bytes();
    let sets = fixture::entries(&procedures).into_iter().filter(|path| path.is_dir());
    let set = |path: std::path::PathBuf| {
        let mut files = fixture::read_folder(&procedures, &path);
        files.insert("workshop.yaml".to_string(), shop.clone());
        files
    };
    sets.map(set).collect()
});

/// A piece of text or, now and then, of bytes that are none.
fn piece() -> impl Strategy<Value = Vec<u8>> {
    prop_oneof![
        8 => prop::sample::select(PIECES).prop_map(|piece| piece.as_bytes().to_vec()),
        2 => any::<char>().prop_map(|c| c.to_string().into_bytes()),
        2 => "[a-z -]{0,8}".prop_map(String::into_bytes),
        1 => prop::collection::vec(any::<u8>(), 0..4),
    ]
}

fn text() -> impl Strategy<Value = Vec<u8>> {
    prop::collection::vec(piece(), 0..60).prop_map(|pieces| pieces.concat())
}

/// A procedure, a set and a shop that hold anything; mostly with what makes them be read at all.
fn noise() -> impl Strategy<Value = Input> {
    (text(), text(), text(), text(), any::<[bool; 2]>()).prop_map(|(head, body, set, shop, [fenced, named])| {
        let procedure = if fenced {
            [b"---\ntitle: A\n".as_slice(), &head, b"\n---\n", &body].concat()
        } else {
            body
        };
        let set = if named {
            [b"machine: A\ntitle: A\n".as_slice(), &set].concat()
        } else {
            set
        };
        let files = [
            ("10-a.md", procedure.clone()),
            ("b/20-b.md", procedure),
            ("set.yaml", set),
            ("workshop.yaml", shop),
        ];
        Input(
            files
                .into_iter()
                .map(|(path, bytes)| (path.to_string(), bytes))
                .collect(),
        )
    })
}

/// One change of a text; places and lengths are shares of it.
#[derive(Debug, Clone)]
enum Change {
    Delete(u16, u16),
    Double(u16, u16),
    Move(u16, u16, u16),
    Splice(u16, u16, u16, u16),
    Insert(u16, Vec<u8>),
    Replace(u16, Vec<u8>),
    LineEnds,
    Cut(u16),
}

fn change() -> impl Strategy<Value = Change> {
    // Lengths are mostly short, so that most of the text still stands.
    let length = || prop_oneof![3 => 0u16..200, 1 => any::<u16>()];
    prop_oneof![
        3 => (any::<u16>(), length()).prop_map(|(at, length)| Change::Delete(at, length)),
        2 => (any::<u16>(), length()).prop_map(|(at, length)| Change::Double(at, length)),
        2 => (any::<u16>(), length(), any::<u16>()).prop_map(|(at, length, to)| Change::Move(at, length, to)),
        2 => (any::<u16>(), any::<u16>(), length(), any::<u16>()).prop_map(|(from, at, length, to)| Change::Splice(from, at, length, to)),
        6 => (any::<u16>(), piece()).prop_map(|(at, piece)| Change::Insert(at, piece)),
        6 => (any::<u16>(), piece()).prop_map(|(at, piece)| Change::Replace(at, piece)),
        1 => Just(Change::LineEnds),
        1 => any::<u16>().prop_map(Change::Cut),
    ]
}

/// The offset that is `share` of 65536 of a text's length.
fn offset(bytes: &[u8], share: u16) -> usize {
    (bytes.len() * usize::from(share)) >> 16
}

fn stretch(bytes: &[u8], at: u16, length: u16) -> std::ops::Range<usize> {
    // A 16th of the length: 200 is some 12 bytes, the most some 4 kB.
    let start = offset(bytes, at);
    start..(start + usize::from(length) / 16).min(bytes.len())
}

fn apply(files: &mut Files, which: u16, change: Change) {
    let others: Vec<Vec<u8>> = files.values().cloned().collect();
    let count = files.len();
    let Some(bytes) = files.values_mut().nth(usize::from(which) % count) else {
        return;
    };
    match change {
        Change::Delete(at, length) => drop(bytes.drain(stretch(bytes, at, length))),
        Change::Double(at, length) => {
            let range = stretch(bytes, at, length);
            let copy = bytes[range.clone()].to_vec();
            bytes.splice(range.end..range.end, copy);
        }
        Change::Move(at, length, to) => {
            let taken: Vec<u8> = bytes.drain(stretch(bytes, at, length)).collect();
            let to = offset(bytes, to);
            bytes.splice(to..to, taken);
        }
        Change::Splice(from, at, length, to) => {
            let source = &others[usize::from(from) % count];
            let copy = source[stretch(source, at, length)].to_vec();
            let to = offset(bytes, to);
            bytes.splice(to..to, copy);
        }
        Change::Insert(at, piece) => {
            let at = offset(bytes, at);
            bytes.splice(at..at, piece);
        }
        Change::Replace(at, piece) => {
            let start = offset(bytes, at);
            let end = (start + piece.len()).min(bytes.len());
            bytes.splice(start..end, piece);
        }
        Change::LineEnds => {
            let text = String::from_utf8_lossy(bytes).replace('\n', "\r\n");
            *bytes = text.into_bytes();
        }
        Change::Cut(at) => bytes.truncate(offset(bytes, at)),
    }
}

/// A demo set with some changes.
fn mutated() -> impl Strategy<Value = Input> {
    let changes = prop::collection::vec((any::<u16>(), change()), 1..12);
    (0..DEMOS.len(), changes).prop_map(|(demo, changes)| {
        let mut files = DEMOS[demo].clone();
        for (which, change) in changes {
            apply(&mut files, which, change);
        }
        Input(files)
    })
}

/// A changed demo set and an order of its files.
fn shuffled() -> impl Strategy<Value = (Input, Vec<usize>)> {
    mutated().prop_flat_map(|input| {
        let order: Vec<usize> = (0..input.0.len()).collect();
        (Just(input), Just(order).prop_shuffle())
    })
}
