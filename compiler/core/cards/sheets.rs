//! What the leaves about a whole job have in common: who they are, and the cards that they name. The leaves themselves lie with their
//! features: `kit/leaf.rs`, `plan/leaf.rs`, `record/leaf.rs`, `diff/leaf.rs`.

use super::card::{CardRef, Identity};
use super::cover::card_ref;
use super::identity;
use crate::model::{Choices, Procedure, Set};
use crate::words::Phrase;

/// Who a sheet about a whole set is: `procedure` names the sheet where a card names its own. Revision and date are the cards' where all of
/// them have the same.
pub fn identity(set: &Set, choices: &Choices, procedure: &str, title: Phrase) -> Identity {
    let common = |of: fn(&Procedure) -> &String| {
        let mut all = set.procedures.there(choices).map(|id| of(&set.procedures[id]));
        let first = all.next();
        first
            .filter(|first| all.all(|one| one == *first))
            .cloned()
            .unwrap_or_default()
    };
    Identity {
        procedure: procedure.to_string(),
        title,
        position: 0,
        rev: common(|p| &p.rev),
        date: common(|p| &p.date),
        ..identity::close_out(set, choices)
    }
}

/// The cards of a set for some choices by their numbers, for sheets that name steps by them.
pub fn cards(set: &Set, choices: &Choices) -> Vec<CardRef> {
    set.procedures.there(choices).map(|id| card_ref(set, id)).collect()
}
