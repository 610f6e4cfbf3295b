//! What a phase ends with, which numbers are missing and why, where a pointer points: the words of leaves made for it.

use crate::harness::{Checked, check, fixture};
use crate::printer::card::{Card, Count, How};
use crate::printer::{self, PAPERS, squeezed};
use libtest_mimic::Trial;

/// A set with one of each thing that is counted, invented for it.
fn checked() -> Checked {
    check(&fixture::read(&fixture::folder("read-back").join("counted.txt")))
}

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("print/phases-are-counted", || super::complaints(counted())),
        Trial::test("print/what-is-missed-and-where-it-points", || super::complaints(told())),
    ]
}

fn cards() -> Result<Vec<Card>, Vec<String>> {
    let checked = checked();
    match checked.compilation.has_errors() {
        true => Err(vec![checked.human()]),
        false => Ok(printer::cards(&checked)),
    }
}

/// By hand: what is on, tight, off and loose at the end of each phase, what was done only because a reading was out left out.
fn counted() -> Vec<String> {
    let cards = match cards() {
        Ok(cards) => cards,
        Err(found) => return found,
    };
    let row = |how, name: &str, count| Count {
        how,
        name: name.to_string(),
        count,
    };
    let expected: [(usize, usize, usize, Vec<Count>); 4] = [
        (
            0,
            0,
            3,
            vec![
                row(How::On, "lock bar", 1),
                row(How::Off, "lid", 1),
                row(How::Loose, "lid screw", 4),
            ],
        ),
        // Nothing went on or came off.
        (0, 1, 0, vec![]),
        (1, 0, 0, vec![]),
        (
            1,
            1,
            8,
            vec![
                row(How::On, "dowel pin", 2),
                row(How::On, "lid", 1),
                row(How::Tight, "lid screw", 4),
                row(How::Off, "lock bar", 1),
            ],
        ),
    ];
    let mut found = Vec::new();
    for (card, phase, count, rows) in expected {
        let end = &cards[card].phases[phase].end;
        if end.count != count || end.counted.0 != rows {
            found.push(format!("card {card}, phase {phase} ends with {end:?}"));
        }
    }
    found
}

/// Missing numbers are explained between those that there are, pointers name what they point at, drawings what lies where; on every paper.
fn told() -> Vec<String> {
    let cards = match cards() {
        Ok(cards) => cards,
        Err(found) => return found,
    };
    let checked = checked();
    let mut found = Vec::new();
    for (paper, ..) in PAPERS {
        let printed = printer::print_leaf(&checked, cards[1].clone(), paper, true);
        found.extend(
            printed
                .breaches()
                .into_iter()
                .map(|breach| format!("{paper}: {breach}")),
        );
        let text = printed.texts().unwrap_or_default().concat();
        let in_order = [
            "Phase 1: New seal",
            "1.1: only for seal = renew",
            "Wipe the seat.",
            "1.3: only for seal = renew",
            "step 2.2 under “Look inside” of card 1, Open it",
            // Above the next phase, not inside it.
            "Phase 2: only for seal = renew",
            "Phase 3: Put it together",
            "Put in the dowel pin",
            "toward the coupling",
            "drain",
            // In this phase, and in another one.
            "step 3.1 and at the seat of step 1.2 under “New seal”",
            "8 steps ticked",
            "On: dowel pin × 2, lid",
            "Tight: lid screw × 4",
            "Off: lock bar",
        ];
        let mut from = 0;
        for words in in_order {
            match text[from..].find(&squeezed(words)) {
                Some(at) => from += at,
                None => found.push(format!("{paper}: {words:?} is not where it belongs")),
            }
        }
        if text.contains(&squeezed("↑ up")) {
            found.push(format!("{paper}: a drawing with landmarks says which way is up"));
        }
    }
    found
}
