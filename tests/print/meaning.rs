//! What a code stands for: over random single edits of the demo sets and of fixtures, a card has the same code exactly if it prints the same
//! words, the same drawings and the same pictures. What is exempt from the code is masked on both sides.
//!
//! Cards of the same data print alike, so only the others are typeset: on one endless leaf, so that nothing hangs on where a leaf ends, and
//! their drawings and pictures once more by themselves, to be compared pixel by pixel at 100 dots an inch.
//!
//! The suite compares a few and typesets some of them; `.ci/long` compares thousands and typesets every card that an edit touched.

use super::edits::{Chance, digit, draws_otherwise, edit};
use crate::harness::{Checked, Files, Outcome, check, fixture};
use crate::printer::card::Step;
use crate::printer::code;
use crate::printer::seen::{Seen, cards, masked, seen};
use libtest_mimic::Trial;
use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Edits in the suite, and cards that they may cost to typeset.
const EDITS: usize = 160;
const TYPESET: usize = 24;

const SEED: u64 = 11;

/// The same for `.ci/long`: so many parts of so many edits, each with a seed of its own, as many at once as there are processors.
const PARTS: u64 = 10;
const EDITS_OF_A_PART: usize = 500;

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("print/a-code-stands-for-what-is-printed", || {
            every_edit(&compiled(bases()), SEED, EDITS, TYPESET)
        }),
        Trial::test("print/a-code-stands-for-what-is-printed-thousandfold", thousandfold).with_ignored_flag(true),
        Trial::test("print/what-is-exempt-changes-no-code", exempt),
        Trial::test("print/a-picture-is-its-pixels", pictures),
        Trial::test("print/a-digit-of-a-drawing-is-seen", digits_of_a_drawing),
    ]
}

/// Sets to edit: the demo sets one by one, and the fixtures that hold whole sets without errors.
fn bases() -> Vec<(String, Files)> {
    let procedures = fixture::root().join("procedures");
    let all = fixture::read_folder(&procedures, &procedures);
    let mut found = vec![("the demo sets".to_string(), all)];
    let mut texts = vec![fixture::folder("fingerprint").join("sample.txt")];
    for folder in ["plan", "kit", "calc", "log"] {
        texts.extend(fixture::texts(&fixture::folder(folder)));
    }
    let silent = fixture::walk(&fixture::folder("rules"));
    texts.extend(silent.into_iter().filter(|path| path.ends_with("silent.txt")));
    for path in texts {
        let files = fixture::read(&path);
        let checked = check(&files);
        if !checked.compilation.has_errors() && !cards(&checked).is_empty() {
            found.push((fixture::relative(&path), files));
        }
    }
    found
}

/// Cards that were looked at, so that none is twice.
#[derive(Default)]
struct Looked {
    seen: BTreeMap<(usize, (String, String)), Seen>,
    typeset: usize,
}

/// A set to edit, with what it comes to as it is.
type Base = (String, Files, Checked);

fn compiled(bases: Vec<(String, Files)>) -> Vec<Base> {
    let with = |(name, files)| {
        let checked = check(&files);
        (name, files, checked)
    };
    bases.into_iter().map(with).collect()
}

/// Every part, each on the next thread that is free; `SEEDS=16,18` has those alone.
fn thousandfold() -> Outcome {
    let bases = compiled(bases());
    let chosen = std::env::var("SEEDS").ok();
    let chosen = chosen.map(|seeds| seeds.split(',').filter_map(|seed| seed.trim().parse().ok()).collect());
    let seeds: Vec<u64> = chosen.unwrap_or_else(|| (SEED..SEED + PARTS).collect());
    let next = AtomicUsize::new(0);
    let faults = Mutex::new(Vec::new());
    let threads = std::thread::available_parallelism().map_or(1, |n| n.get());
    let work = || {
        loop {
            let Some(seed) = seeds.get(next.fetch_add(1, Ordering::Relaxed)) else {
                return;
            };
            if let Err(fault) = every_edit(&bases, *seed, EDITS_OF_A_PART, usize::MAX) {
                let fault = fault.message().unwrap_or("a fault without words").to_string();
                faults.lock().expect("no thread stops while it holds this").push(fault);
            }
        }
    };
    std::thread::scope(|scope| (0..threads).for_each(|_| drop(scope.spawn(work))));
    let faults = faults.into_inner().expect("all threads have ended");
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}

fn every_edit(bases: &[Base], seed: u64, wanted: usize, most: usize) -> Outcome {
    let mut chance = Chance(seed);
    let mut looked = Looked::default();
    let (mut edits, mut tried, mut compared, mut faults) = (0, 0, 0, Vec::new());
    let (mut other_code, mut same_code) = (0, 0);
    while edits < wanted && tried < wanted * 20 {
        tried += 1;
        // Half of the edits are of the demo sets.
        let at = if chance.below(2) == 0 {
            0
        } else {
            chance.below(bases.len())
        };
        let (name, files, base) = &bases[at];
        let Some((what, edited)) = edit(files, &mut chance) else {
            continue;
        };
        let now = check(&edited);
        let (before, after) = (cards(base), cards(&now));
        let pairs = before.iter().filter_map(|(key, old)| Some((key, old, after.get(key)?)));
        let pairs: Vec<_> = pairs.collect();
        if pairs.is_empty() {
            continue;
        }
        edits += 1;
        for (key, old, new) in pairs {
            compared += 1;
            let (was, is) = (masked(old), masked(new));
            let (alike, same) = (format!("{was:?}") == format!("{is:?}"), code(old) == code(new));
            if alike && same {
                continue;
            }
            if alike {
                faults.push(format!(
                    "{name}: {what}: {} prints the same and has another code",
                    key.1
                ));
                continue;
            }
            if looked.typeset >= most {
                continue;
            }
            looked.typeset += 1;
            let kept = (at, key.clone());
            if !looked.seen.contains_key(&kept) {
                // A picture that isn't whole has its finding when it is laid out: nothing is printed to compare with.
                let Ok(page) = seen(base, &was) else { continue };
                looked.seen.insert(kept.clone(), page);
            }
            let page = match seen(&now, &is) {
                Ok(page) => page,
                // A picture that isn't there has its finding, and prints nothing.
                Err(_) => continue,
            };
            let same_page = looked.seen[&kept] == page;
            if same_page != same {
                let how = if same {
                    "prints otherwise and has the same code"
                } else {
                    "prints the same and has another code"
                };
                faults.push(format!(
                    "{name}: {what}: {} {how}{}",
                    key.1,
                    first_difference(&looked.seen[&kept], &page)
                ));
            }
            match same {
                true => same_code += 1,
                false => other_code += 1,
            }
        }
    }
    faults.iter().for_each(|fault| eprintln!("{fault}"));
    println!(
        "seed {seed}: {edits} edits, {compared} cards compared; {} typeset: {other_code} with another code, {same_code} with the same; {} disagree",
        looked.typeset,
        faults.len()
    );
    if edits < wanted || other_code == 0 || same_code == 0 {
        return Err(
            format!("only {edits} edits, {other_code} other codes, {same_code} same ones were compared").into(),
        );
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}

fn first_difference(old: &Seen, new: &Seen) -> String {
    let (was, is): (Vec<&str>, Vec<&str>) = (old.words.split(' ').collect(), new.words.split(' ').collect());
    let at = was.iter().zip(&is).position(|(a, b)| a != b);
    let at = at.or((was.len() != is.len()).then_some(was.len().min(is.len())));
    let around = |words: &[&str], at: usize| words[at.saturating_sub(3)..(at + 4).min(words.len())].join(" ");
    at.map_or_else(String::new, |at| {
        format!(": …{}… is …{}…", around(&was, at), around(&is, at))
    })
}

/// Another value of each field that is exempt leaves the code as it is.
fn exempt() -> Outcome {
    let procedures = fixture::root().join("procedures");
    let checked = check(&fixture::read_folder(&procedures, &procedures));
    for card in cards(&checked).values() {
        let mut other = card.clone();
        let id = &mut other.identity;
        (id.rev, id.date, id.draft) = (format!("{}x", id.rev), "2031-01-01".into(), !id.draft);
        (id.position, id.of, id.uncommitted) = (id.position + 1, id.of + 1, true);
        (id.paper, id.set, id.procedure) = ("a5".into(), "other".into(), "another".into());
        other.cover.changed_since = "v1".into();
        let steps = other
            .phases
            .iter_mut()
            .flat_map(|p| &mut p.runs)
            .flat_map(|r| &mut r.steps);
        steps.for_each(|step: &mut Step| step.changed = true);
        for rows in [&mut other.carried_in, &mut other.carried_out] {
            rows.states
                .iter_mut()
                .chain(&mut rows.fitted)
                .for_each(|row| row.since = "card 9, 9.9".into());
        }
        if code(card) != code(&other) {
            return Err(format!("{}: an exempt field changes the code", card.identity.procedure).into());
        }
    }
    Ok(())
}

/// Digits of a drawing that are changed, of the demo's own.
const DIGITS: usize = 40;

/// A drawing with another digit has another code, and looks otherwise: with no exemption but for a ground that goes past the edge before and after.
fn digits_of_a_drawing() -> Outcome {
    let path = fixture::root().join("procedures/air-compressor/ring-gaps.svg");
    let drawing = fixture::text(&path);
    let (was, page) = shown(&drawing);
    let page = page?;
    let mut chance = Chance(7);
    let (mut tried, mut faults) = (0, Vec::new());
    while tried < DIGITS {
        let Some((what, other)) = digit(&drawing, &mut chance).filter(|(_, other)| draws_otherwise(&drawing, other))
        else {
            continue;
        };
        tried += 1;
        let (is, now) = shown(&other);
        // One that can't be read any more has its finding, and there is no card.
        let Ok(now) = now else { continue };
        // A digit of a remark changes neither.
        if (is == was) != (now == page) {
            faults.push(format!(
                "{what}: the same code: {}, the same picture: {}",
                is == was,
                now == page
            ));
        }
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}

/// Two files that look alike have one code, two that don't have two.
fn pictures() -> Outcome {
    let drawing = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40\" height=\"40\">\n<rect width=\"20\" height=\"10\"/>\n</svg>\n";
    let (was, page) = shown(drawing);
    let page = page?;
    for other in [
        drawing.replace('\n', "\r\n"),
        drawing.replace("<rect", "<!-- plate -->\n<rect"),
    ] {
        let (is, now) = shown(&other);
        if is != was || now? != page {
            return Err(format!("{other}: looks the same and has another code").into());
        }
    }
    let (is, now) = shown(&drawing.replace("\"20\"", "\"30\""));
    match is != was && now? != page {
        true => Ok(()),
        false => Err("another drawing has the same code".into()),
    }
}

/// The code of a card with a drawing, and what is seen of it.
fn shown(drawing: &str) -> (String, Result<Seen, String>) {
    let body = "---\ntitle: Look\n---\n\n# Look\n\n1. Look at it.\n\n   ![The plate](plate.svg)\n";
    let files = [
        ("set/set.yaml", "machine: Invented\ntitle: Set\n"),
        ("set/10-look.md", body),
        ("set/plate.svg", drawing),
    ];
    let files: Files = files
        .map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()))
        .into();
    let checked = check(&files);
    let found = cards(&checked);
    let Some(card) = found.values().next().map(masked) else {
        return (String::new(), Err("it passes no check".to_string()));
    };
    (code(&card).to_string(), seen(&checked, &card))
}
