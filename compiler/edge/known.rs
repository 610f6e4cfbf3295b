//! The leaves of a state, by the names that people know them by.

use super::history::State;
use super::queue;
use crate::Compilation;
use crate::check::Facts;
use crate::fingerprint::Code;
use crate::groups::Groups;
use crate::leaves::{Printable, Sort, cards_of, of_set};
use crate::model::Set;
use crate::source::FileSet;
use std::collections::BTreeSet;
use std::ops::ControlFlow;

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
        let sets = printable(files, compilation).into_iter();
        sets.flat_map(|(set, facts)| self.of_set(files, set, facts)).collect()
    }

    fn of_set(&self, files: &FileSet, set: &Set, facts: &Facts) -> Vec<Known> {
        let leaves = match self {
            Among::All => of_set(files, set, facts),
            Among::Cards => cards_of(files, set, facts, &|_| true),
            Among::CardsOf(wanted) => {
                let id = |at| set.procedures.of(at).map(|one| one.id.as_str());
                let is_wanted = |at| wanted.iter().any(|(of, one)| *of == set.id && id(at) == Some(one));
                cards_of(files, set, facts, &is_wanted)
            }
        };
        leaves.into_iter().map(|leaf| Known::new(set, leaf)).collect()
    }
}

/// The sets that something can be printed from.
fn printable<'c>(files: &FileSet, compilation: &'c Compilation) -> Vec<(&'c Set, &'c Facts)> {
    let whole = compilation.model.sets.iter().zip(&compilation.facts);
    whole.filter(|(set, _)| !compilation.blocks(files, set)).collect()
}

/// Every card of a state, for every choice.
pub fn cards(state: &State) -> Vec<Known> {
    Among::Cards.of(&state.files, &state.compilation)
}

/// Every leaf of a state, for every choice; several sets are worked out side by side.
pub fn leaves(state: &State) -> Vec<Known> {
    let sets = printable(&state.files, &state.compilation);
    let work = |(set, facts): &(&Set, &Facts)| Among::All.of_set(&state.files, set, facts);
    let mut of_sets: Vec<(usize, Vec<Known>)> = Vec::new();
    let ran = queue::run(queue::cores(), &sets, work, |set, leaves| {
        of_sets.extend(leaves.ok().map(|leaves| (set, leaves)));
        ControlFlow::Continue(())
    });
    if ran.is_err() || of_sets.len() != sets.len() {
        // Where no thread is to be had, one after the other.
        return Among::All.of(&state.files, &state.compilation);
    }
    of_sets.sort_by_key(|(set, _)| *set);
    of_sets.into_iter().flat_map(|(_, leaves)| leaves).collect()
}
