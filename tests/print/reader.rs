//! Reading back: faults that are put into templates, each caught; what is too much for a leaf, told; everything else let through.

use super::complaints;
use crate::harness::fixture;
use crate::printer::{self, PAPERS, card::Card};
use benchleaf_press::{Assets, BreachKind, Settings, Typesetter};
use libtest_mimic::Trial;
use std::collections::BTreeMap;

/// A fault: what is changed in a file of the templates, and what kind of breach that must give.
struct Fault {
    name: String,
    file: String,
    /// What stands there, and what is put in its place.
    changes: Vec<(String, String)>,
    kind: String,
}

/// The faults of `faults.txt`. Each changes one place of the built-in templates.
fn faults() -> Vec<Fault> {
    let text = std::fs::read_to_string(fixture::folder("read-back").join("faults.txt")).unwrap();
    let one = |part: &str| {
        let (head, lines) = part.split_once('\n').unwrap();
        let mut head = head.split(" | ").map(str::to_string);
        let mut next = || head.next().unwrap_or_else(|| panic!("{part}"));
        let side = |lines: &str, sign: char| -> String {
            let lines: Vec<&str> = lines.lines().filter_map(|line| line.strip_prefix(sign)).collect();
            lines.join("\n")
        };
        let changes = lines.split("\n&\n").map(|lines| (side(lines, '-'), side(lines, '+')));
        Fault {
            name: next(),
            kind: next(),
            file: next(),
            changes: changes.collect(),
        }
    };
    text.split("\n== ").skip(1).map(one).collect()
}

/// A procedure with one of each thing.
fn sample() -> Card {
    let text = std::fs::read_to_string(fixture::folder("read-back").join("sample.md")).unwrap();
    let checked = printer::written(&text);
    assert!(!checked.compilation.has_errors(), "{}", checked.human());
    printer::cards(&checked).remove(0)
}

fn kinds(typesetter: &Typesetter, card: &Card) -> Result<Vec<(BreachKind, String)>, String> {
    let document = typesetter.typeset(card, &Assets::default(), &Settings::default());
    benchleaf_press::forget();
    let document = document.map_err(|faults| format!("{faults:?}"))?;
    Ok(document.breaches.into_iter().map(|b| (b.kind, b.words)).collect())
}

pub fn trials() -> Vec<Trial> {
    let mut trials = vec![Trial::test("read-back/whole", || {
        let typesetter = printer::typesetter(&printer::templates());
        let mut found = Vec::new();
        for (paper, ..) in PAPERS {
            let mut card = sample();
            card.identity.paper = paper.to_string();
            found.extend(kinds(&typesetter, &card)?.into_iter().map(|breach| format!("{paper}: {breach:?}")));
        }
        complaints(found)
    })];
    trials.push(Trial::test("read-back/faults", || {
        let (templates, card) = (printer::templates(), sample());
        let look = |fault: &Fault| look(&templates, &card, fault).map(|words| format!("{}: {words}", fault.name));
        complaints(faults().iter().filter_map(look).collect())
    }));
    trials
}

/// What is wrong with how a fault is caught.
fn look(templates: &BTreeMap<String, Vec<u8>>, card: &Card, fault: &Fault) -> Option<String> {
    let mut text = String::from_utf8(templates.get(&fault.file)?.clone()).ok()?;
    for (was, is) in &fault.changes {
        if !text.contains(was) {
            return Some(format!("the template has no `{was}`"));
        }
        text = text.replacen(was, is, 1);
    }
    let mut with = templates.clone();
    with.insert(fault.file.clone(), text.into_bytes());
    match kinds(&printer::typesetter(&with), card) {
        Err(faults) => Some(faults),
        Ok(found) if found.iter().any(|(kind, _)| format!("{kind:?}") == fault.kind) => None,
        Ok(found) => Some(format!("{} expected, found: {found:?}", fault.kind)),
    }
}
