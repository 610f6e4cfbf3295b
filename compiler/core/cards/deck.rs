//! A set and choices in; its cards, set sheet, close-out, record leaf and pocket card out.

use super::beside::{CloseOut, Pocket, RecordForm, SetSheet};
use super::build::{Input, build};
use super::card::Card;
use super::{form, pocket, set_sheet, standing};
use crate::check::Facts;
use crate::check::ledger::{self, Carried};
use crate::check::walk::{Flow, Played, play};
use crate::model::{Choices, Each, ProcedureId, Set};
use crate::source::FileSet;

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

    /// What is read once, before the first card.
    pub fn set_sheet(&self) -> SetSheet {
        let cards: Vec<Card> = self.procedures().into_iter().map(|p| self.card(p)).collect();
        set_sheet::of_set(self.set, self.facts, self.choices, &cards)
    }

    /// What is kept of those of some procedures that there are for the choices.
    pub fn record_form(&self, procedures: &[ProcedureId]) -> RecordForm {
        let there = self.procedures();
        let cards = procedures.iter().filter(|p| there.contains(p));
        let cards: Vec<Card> = cards.map(|p| self.card(*p)).collect();
        form::record_form(self.set, self.choices, &cards)
    }

    /// The torques and limits of those of some procedures that there are for the choices, alone.
    pub fn pocket(&self, procedures: &[ProcedureId]) -> Pocket {
        let there = self.procedures();
        let cards = procedures.iter().filter(|p| there.contains(p));
        let cards = cards.map(|p| self.card(*p)).collect();
        pocket::pocket(self.set, self.choices, cards)
    }
}

/// The card of a procedure, alone.
pub fn card(files: &FileSet, set: &Set, facts: &Facts, procedure: ProcedureId, choices: &Choices) -> Card {
    Deck::new(files, set, facts, choices).card(procedure)
}
