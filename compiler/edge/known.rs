//! The leaves of a state, by the names that people know them by.

use super::history::State;
use crate::Compilation;
use crate::fingerprint::Code;
use crate::groups::Groups;
use crate::leaves::{Printable, Sort, cards_of, of_set};
use crate::model::Set;
use crate::source::FileSet;
use std::collections::BTreeSet;

/// A leaf of some state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    pub code: Code,
    pub sort: Sort,
    /// Id of the set.
    pub set: String,
    pub set_title: String,
    /// Id of the procedure; empty for a leaf of a whole set.
    pub procedure: String,
    /// Title of the card, or what else it is.
    pub title: String,
    pub rev: String,
    pub choices: Vec<(String, String)>,
}

impl Known {
    fn new(set: &Set, leaf: Printable) -> Known {
        let Printable { sort, choices, code } = leaf;
        let procedure = sort.procedure().and_then(|at| set.procedures.of(at));
        let title = match (procedure, sort.word()) {
            (Some(procedure), "") => procedure.title.clone(),
            (Some(procedure), word) => format!("{}, {word}", procedure.title),
            (None, word) => word.to_string(),
        };
        Known {
            code,
            sort,
            set: set.id.clone(),
            set_title: set.title.clone(),
            procedure: procedure.map_or_else(String::new, |p| p.id.clone()),
            title,
            rev: procedure.map_or_else(String::new, |p| p.rev.clone()),
            choices,
        }
    }

    /// True if it is the same leaf of a set as another, whatever it says.
    pub fn same_sort(&self, other: &Known) -> bool {
        self.sort.word() == other.sort.word()
    }
}

/// Which leaves of the states are looked at: working out the others costs more than reading the state.
pub enum Among {
    All,
    /// Cards alone.
    Cards,
    /// Cards of some procedures: ids of set and procedure.
    CardsOf(BTreeSet<(String, String)>),
}

impl Among {
    /// False if nothing of a part of a state is looked at.
    pub fn concerns(&self, groups: &Groups, part: usize) -> bool {
        let Among::CardsOf(wanted) = self else {
            return true;
        };
        let mut ids = groups.ids(part).peekable();
        ids.peek().is_none() || ids.any(|id| wanted.iter().any(|(set, _)| set == id))
    }

    /// Those of what was compiled: nothing is printed from a set with errors.
    pub fn of(&self, files: &FileSet, compilation: &Compilation) -> Vec<Known> {
        let mut found = Vec::new();
        let whole = compilation.model.sets.iter().zip(&compilation.facts);
        for (set, facts) in whole.filter(|(set, _)| !compilation.blocks(files, set)) {
            let leaves = match self {
                Among::All => of_set(files, set, facts),
                Among::Cards => cards_of(files, set, facts, &|_| true),
                Among::CardsOf(wanted) => {
                    let id = |at| set.procedures.of(at).map(|one| one.id.as_str());
                    let is_wanted = |at| wanted.iter().any(|(of, one)| *of == set.id && id(at) == Some(one));
                    cards_of(files, set, facts, &is_wanted)
                }
            };
            found.extend(leaves.into_iter().map(|leaf| Known::new(set, leaf)));
        }
        found
    }
}

/// Every card of a state, for every choice.
pub fn cards(state: &State) -> Vec<Known> {
    Among::Cards.of(&state.files, &state.compilation)
}

/// Every leaf of a state, for every choice.
pub fn leaves(state: &State) -> Vec<Known> {
    Among::All.of(&state.files, &state.compilation)
}
