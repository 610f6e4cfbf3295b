//! What a set sheet says once for all cards of its set, against its former self.

use super::cards::Half;
use super::class;
use super::field::Field;
use super::model::{CardDiff, Change, Fate, Kind};
use crate::cards::Deck;
use crate::cards::beside::SetSheet;
use crate::fingerprint;
use crate::model::Choices;
use crate::words::{Phrase, say};

/// What changed besides the cards that it lists; `None` if nothing did. It stands among the cards of its set, as the one with number 0.
pub fn compare(old: &Half, new: &Half) -> Option<CardDiff> {
    let told = |half: &Half| {
        [
            (Field::AppliesTo, Kind::Words, Phrase::from(&half.set.applies_to)),
            (Field::Notice, Kind::MessageReworded, Phrase::from(&half.set.notice)),
            (
                Field::Introduction,
                Kind::Words,
                half.set
                    .about
                    .as_ref()
                    .map_or_else(Phrase::default, |about| Phrase::from(&about.text)),
            ),
        ]
    };
    let mut changes = Vec::new();
    for ((field, kind, was), (.., is)) in told(old).into_iter().zip(told(new)) {
        if was == is {
            continue;
        }
        let kind = match kind {
            // The set's own cautions.
            Kind::MessageReworded if is.is_empty() => Kind::MessageDropped,
            kind => kind,
        };
        changes.push(Change::new(kind, say::the_set()).field(field).from_to(was, is));
    }
    if changes.is_empty() {
        return None;
    }
    class::put(&mut changes);
    let (was, is) = (sheet(old), sheet(new));
    Some(CardDiff {
        procedure: is.identity.procedure.clone(),
        title: is.identity.title.english(),
        position: is.identity.position,
        fate: Fate::Kept,
        was: String::new(),
        old_rev: was.identity.rev.clone(),
        new_rev: is.identity.rev.clone(),
        rev_not_raised: false,
        old_code: fingerprint::code(&was).to_string(),
        new_code: fingerprint::code(&is).to_string(),
        others: Vec::new(),
        withdrawn: Vec::new(),
        usual: changes.clone(),
        changes,
        same: Vec::new(),
    })
}

/// The sheet for the default choices.
fn sheet(half: &Half) -> SetSheet {
    let choices = Choices::defaults(&half.set.catalogue);
    Deck::new(half.files, half.set, half.facts, &choices).set_sheet()
}
