//! A set and choices in; its cards, set sheet, close-out, record leaf and pocket card out.

use super::beside::{CloseOut, Pocket, RecordForm, SetSheet};
use super::build::{Input, build};
use super::card::Card;
use super::{form, identity, pocket, set_sheet, standing};
use crate::check::Facts;
use crate::check::ledger::{self, Carried};
use crate::check::walk::{Flow, Played, play};
use crate::fingerprint::{Code, Digest, digest};
use crate::model::{Choices, Each, ProcedureId, Set};
use crate::source::FileSet;
use std::sync::Arc;

/// The cards of one set for some choices. What runs through the whole set is worked out once for all of them.
pub struct Deck<'a> {
    files: &'a FileSet,
    set: &'a Set,
    facts: &'a Facts,
    choices: &'a Choices,
    played: Played<'a>,
    carried: Each<Carried>,
}

impl<'a> Deck<'a> {
    pub fn new(files: &'a FileSet, set: &'a Set, facts: &'a Facts, choices: &'a Choices) -> Self {
        let played = play(&Flow::new(set), choices);
        Deck {
            files,
            set,
            facts,
            choices,
            carried: ledger::carried(&played),
            played,
        }
    }

    pub fn set(&self) -> &'a Set {
        self.set
    }

    pub fn facts(&self) -> &'a Facts {
        self.facts
    }

    pub fn choices(&self) -> &'a Choices {
        self.choices
    }

    /// The procedures of the set that there are for the choices.
    pub fn procedures(&self) -> Vec<ProcedureId> {
        self.set.procedures.there(self.choices).collect()
    }

    /// The card of a procedure that there is for the choices; of another it has no steps.
    pub fn card(&self, procedure: ProcedureId) -> Card {
        let input = Input {
            files: self.files,
            set: self.set,
            facts: self.facts,
            choices: self.choices,
            played: &self.played,
            carried: &self.carried,
        };
        build(input, procedure)
    }

    /// What is ticked when every card is done.
    pub fn close_out(&self) -> CloseOut {
        standing::close_out(&self.played, self.facts, self.choices)
    }

    /// The cards of those of some procedures that there are for the choices.
    fn cards(&self, procedures: &[ProcedureId]) -> Vec<Card> {
        let there = self.procedures();
        let wanted = procedures.iter().filter(|p| there.contains(p));
        wanted.map(|p| self.card(*p)).collect()
    }

    /// What is read once, before the first card.
    pub fn set_sheet(&self) -> SetSheet {
        self.made().set_sheet()
    }

    /// What is kept of those of some procedures that there are for the choices.
    pub fn record_form(&self, procedures: &[ProcedureId]) -> RecordForm {
        form::record_form(self.set, self.choices, &self.cards(procedures))
    }

    /// The torques and limits of those of some procedures that there are for the choices, alone.
    pub fn pocket(&self, procedures: &[ProcedureId]) -> Pocket {
        pocket::pocket(self.set, self.choices, &self.cards(procedures))
    }

    /// Every card that there is for the choices.
    pub fn made(&self) -> Made<'_> {
        self.made_after(&[])
    }

    /// The same where those of other choices were made before: a card that is made of the same is the same.
    pub fn made_after(&self, earlier: &[Made]) -> Made<'_> {
        let procedures = self.procedures();
        let (mut cards, mut digests) = (Vec::new(), Vec::new());
        for procedure in &procedures {
            let known = earlier.iter().find_map(|made| made.same(self, *procedure));
            let (card, digest) = known.map_or_else(
                || {
                    let card = self.card(*procedure);
                    let digest = digest(&card);
                    (Arc::new(card), digest)
                },
                |(card, digest)| (Arc::clone(card), *digest),
            );
            cards.push(card);
            digests.push(digest);
        }
        Made {
            deck: self,
            procedures,
            cards,
            digests,
        }
    }

    /// True if all that a card is made of and that hangs on choices is as in another deck of the same set: its own conditions, what comes before it,
    /// what it takes over and hands on, and what happens in it.
    fn makes_the_same(&self, other: &Deck, procedure: ProcedureId) -> bool {
        let value = |deck: &Deck, option| deck.choices.value(option);
        let before = |deck: &Deck| deck.set.procedures.before(procedure, deck.choices);
        std::ptr::eq(self.set, other.set)
            && identity::asked(self.set, procedure)
                .into_iter()
                .all(|option| value(self, option) == value(other, option))
            && self.carried.of(procedure) == other.carried.of(procedure)
            && self.played.card(procedure) == other.played.card(procedure)
            && before(self) == before(other)
    }
}

/// The cards of a deck, for whoever wants several of the leaves that are made from them.
pub struct Made<'d> {
    deck: &'d Deck<'d>,
    procedures: Vec<ProcedureId>,
    cards: Vec<Arc<Card>>,
    digests: Vec<Digest>,
}

impl Made<'_> {
    /// The card of a procedure, if another deck makes the same.
    fn same(&self, deck: &Deck, procedure: ProcedureId) -> Option<(&Arc<Card>, &Digest)> {
        let at = self.procedures.iter().position(|own| *own == procedure)?;
        let known = self.cards.get(at).zip(self.digests.get(at))?;
        deck.makes_the_same(self.deck, procedure).then_some(known)
    }

    /// What is read once, before the first card.
    pub fn set_sheet(&self) -> SetSheet {
        let codes = self.digests.iter().map(Code::of);
        let cards: Vec<(&Card, Code)> = self.cards.iter().map(Arc::as_ref).zip(codes).collect();
        set_sheet::of_set(self.deck.set, self.deck.facts, self.deck.choices, &cards)
    }

    /// What is kept of all cards.
    pub fn record_form(&self) -> RecordForm {
        form::record_form(self.deck.set, self.deck.choices, &self.cards)
    }

    /// The torques and limits of all cards, alone.
    pub fn pocket(&self) -> Pocket {
        pocket::pocket(self.deck.set, self.deck.choices, &self.cards)
    }

    /// Each card, and what it stands for.
    pub fn into_cards(self) -> impl Iterator<Item = (ProcedureId, Arc<Card>, Digest)> {
        let cards = self.procedures.into_iter().zip(self.cards).zip(self.digests);
        cards.map(|((procedure, card), digest)| (procedure, card, digest))
    }
}

/// The card of a procedure, alone.
pub fn card(files: &FileSet, set: &Set, facts: &Facts, procedure: ProcedureId, choices: &Choices) -> Card {
    Deck::new(files, set, facts, choices).card(procedure)
}
