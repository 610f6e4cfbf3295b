//! Which leaves there are of a set for some choices.

use super::Checked;
use benchleaf_core::cards::Deck;
use benchleaf_core::leaves;
use benchleaf_core::leaves::Sort;
use benchleaf_core::model::Choices;
use std::collections::BTreeSet;

/// What a set prints for one value of an option: the ids of its cards, the ids that the cards name as done before them, the torques of its
/// pocket leaf and of its close-out.
#[derive(Debug, PartialEq, Eq)]
pub struct Printed {
    pub cards: Vec<String>,
    pub before: Vec<String>,
    pub pocket: Vec<String>,
    pub close_out: Vec<String>,
}

impl Checked {
    pub fn printed(&self, option: &str, value: &str) -> Printed {
        let (set, facts) = (&self.compilation.model.sets[0], &self.compilation.facts[0]);
        let mut choices = Choices::defaults(&set.catalogue);
        choices.choose(&set.catalogue, option, value).expect("such an option");
        let deck = Deck::new(&self.files, set, facts, &choices);
        let procedures = deck.procedures();
        let all: Vec<_> = set.procedures.ids().collect();
        let cards: Vec<_> = procedures.iter().map(|id| deck.card(*id)).collect();
        let before = cards.iter().flat_map(|card| &card.cover.after);
        Printed {
            before: before.map(|card| card.procedure.clone()).collect(),
            cards: cards.iter().map(|card| card.identity.procedure.clone()).collect(),
            pocket: deck
                .pocket(&all)
                .torques
                .iter()
                .map(|torque| torque.name.clone())
                .collect(),
            close_out: deck.close_out().torques.iter().map(|row| row.what.clone()).collect(),
        }
    }

    /// By id of a procedure, the choices for which its card can be printed.
    pub fn printable(&self) -> BTreeSet<(String, Vec<(String, String)>)> {
        let (set, facts) = (&self.compilation.model.sets[0], &self.compilation.facts[0]);
        let all = leaves::of_set(&self.files, set, facts);
        let cards = all.into_iter().filter_map(|leaf| match leaf.sort {
            Sort::Card(procedure) => Some((set.procedures[procedure].id.clone(), leaf.choices)),
            _ => None,
        });
        cards.collect()
    }
}
