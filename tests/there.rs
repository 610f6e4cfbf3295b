//! A card that there is for one choice alone is neither printed nor named for the others.

use crate::harness::{Checked, Outcome, check_texts};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    vec![Trial::test("there/cards-of-one-choice", cards_of_one_choice)]
}

/// Three cards in a row; the one in the middle is there for `scope=all` alone.
fn job() -> Checked {
    let torque = |id: &str| format!("torques: {{{id}: {{name: {id}, torque: 9 N·m, lubrication: dry}}}}");
    let card = |head: &str, torque: &str, id: &str| {
        format!("---\ntitle: Card\n{head}{torque}\n---\n\n1. Undo the [loosen {id}].\n2. Tighten the [torque {id}].\n")
    };
    check_texts(&[
        (
            "set.yaml",
            "machine: Invented pump\ntitle: Rebuild\noptions: {scope: {what: How far, values: {some: Less, all: More}, default: some}}\n",
        ),
        ("10-open.md", &card("", &torque("lid"), "lid")),
        (
            "20-strip.md",
            &card("after: [open]\nonly: scope=all\n", &torque("ring"), "ring"),
        ),
        ("30-close.md", &card("after: [strip]\n", &torque("cap"), "cap")),
    ])
}

fn cards_of_one_choice() -> Outcome {
    let checked = job();
    let wanted = |words: &[&str]| -> Vec<String> { words.iter().map(ToString::to_string).collect() };
    let all = checked.printed("scope", "all");
    assert_eq!(all.cards, wanted(&["open", "strip", "close"]));
    assert_eq!(all.before, wanted(&["open", "strip"]));
    assert_eq!(all.pocket, wanted(&["lid", "ring", "cap"]));
    assert_eq!(all.close_out, wanted(&["lid", "ring", "cap"]));
    let some = checked.printed("scope", "some");
    assert_eq!(some.cards, wanted(&["open", "close"]));
    // What comes before the card that isn't there comes before those after it.
    assert_eq!(some.before, wanted(&["open"]));
    assert_eq!(some.pocket, wanted(&["lid", "cap"]));
    assert_eq!(some.close_out, wanted(&["lid", "cap"]));
    let strip: Vec<_> = checked
        .printable()
        .into_iter()
        .filter(|(id, _)| id == "strip")
        .collect();
    let only = vec![("scope".to_string(), "all".to_string())];
    assert_eq!(strip, vec![("strip".to_string(), only)]);
    Ok(())
}
