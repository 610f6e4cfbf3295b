//! The leaves of a set for its default choices: their data as templates get it, their codes, and where their pieces are written.

use super::place;
use crate::cards::Deck;
use crate::check::Facts;
use crate::fingerprint::{Kind, code};
use crate::model::{Choices, Set};
use crate::source::{FileSet, Sourced, Sources};
use serde::Serialize;
use serde_json::{Value, json};

pub fn leaves(files: &FileSet, set: &Set, facts: &Facts) -> Value {
    let choices = Choices::defaults(&set.catalogue);
    let deck = Deck::new(files, set, facts, &choices);
    let procedures = deck.procedures();
    let cards = procedures.iter().map(|procedure| {
        let card = deck.card(*procedure);
        leaf(files, &card)
    });
    json!({
        "set-sheet": leaf(files, &deck.set_sheet()),
        "cards": cards.collect::<Value>(),
        "close-out": leaf(files, &deck.close_out()),
        "record": leaf(files, &deck.record_form(&procedures)),
        "pocket": leaf(files, &deck.pocket(&procedures)),
    })
}

fn leaf<L: Kind + Serialize>(files: &FileSet, leaf: &L) -> Value {
    json!({ "kind": L::NAME, "code": code(leaf).to_string(), "data": leaf, "places": places(files, leaf) })
}

/// Where the pieces of a leaf are written, by where they stand in its data, and what stands there.
fn places(files: &FileSet, leaf: &impl Sourced) -> Value {
    let sources = Sources::of(leaf);
    let one = |(path, span)| (String::from(path), json!([place(files, span), files.text(span)]));
    Value::Object(sources.iter().map(one).collect())
}
