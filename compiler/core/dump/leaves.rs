//! The leaves of a set for its default choices: their data as templates get it, their codes, and where their steps are written.

use super::place;
use crate::cards::Deck;
use crate::cards::card::Card;
use crate::check::Facts;
use crate::fingerprint::{Kind, code};
use crate::model::{Choices, Set};
use crate::source::{FileSet, Span};
use serde::Serialize;
use serde_json::{Map, Value, json};

pub fn leaves(files: &FileSet, set: &Set, facts: &Facts) -> Value {
    let choices = Choices::defaults(&set.catalogue);
    let deck = Deck::new(files, set, facts, &choices);
    let procedures = deck.procedures();
    let cards = procedures.iter().map(|procedure| {
        let card = deck.card(*procedure);
        json!({ "leaf": leaf(&card), "places": places(files, &card) })
    });
    json!({
        "set-sheet": leaf(&deck.set_sheet()),
        "cards": cards.collect::<Value>(),
        "close-out": leaf(&deck.close_out()),
        "record": leaf(&deck.record_form(&procedures)),
        "pocket": leaf(&deck.pocket(&procedures)),
    })
}

fn leaf<L: Kind + Serialize>(leaf: &L) -> Value {
    json!({ "kind": L::NAME, "code": code(leaf).to_string(), "data": leaf })
}

/// Where the phases, steps and sub-steps of a card are written, by their numbers.
fn places(files: &FileSet, card: &Card) -> Value {
    let mut found = Map::new();
    let mut put = |name: String, span: Option<Span>| {
        found.insert(name, span.map_or(Value::Null, |span| Value::from(place(files, span))));
    };
    for phase in &card.phases {
        put(format!("Phase {}", phase.number), phase.span);
        for step in phase.runs.iter().flat_map(|run| &run.steps) {
            put(step.number.clone(), step.span);
            for sub in &step.substeps {
                put(format!("{} {}", step.number, sub.letter), sub.span);
            }
        }
    }
    for left in &card.cover.left_out {
        put(left.number.english(), left.span);
    }
    Value::Object(found)
}
