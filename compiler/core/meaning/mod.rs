//! What a procedure means, freed of how it is written: the one form that the fingerprint hashes and the diff compares.
//!
//! Wrapping, white space, emphasis, comments, the order of keys, ids, file names, revision and date, paper and second units are gone.
//! Quantities are by exact value. Whatever else a card tells the person at the bench is here: when in doubt it counts, because a card
//! printed once too often costs a sheet and one too few may cost a hand.

mod entries;
mod procedure;
mod value;
mod words;

pub use entries::{Entry, Field};
pub use procedure::{Act, Head, Meaning, Message, Phase, Step, SubStep};
pub use value::{Size, Source, Value, ratio, squeezed};
pub use words::Words;

use crate::check::Facts;
use crate::model::{Choices, Entity, Set};
use crate::source::FileSet;
use std::collections::BTreeMap;

/// A set with its entries taken apart, once for all its procedures.
pub struct SetMeaning<'a> {
    pub files: &'a FileSet,
    pub set: &'a Set,
    pub entries: BTreeMap<Entity, Entry<'a>>,
}

impl<'a> SetMeaning<'a> {
    pub fn new(files: &'a FileSet, set: &'a Set, facts: &Facts) -> SetMeaning<'a> {
        SetMeaning {
            files,
            set,
            entries: entries::all(set, &facts.torques),
        }
    }

    /// The procedure at a position of the set's order, whatever is chosen.
    pub fn whole(&self, position: usize) -> Meaning<'a> {
        procedure::meaning(self, position, None)
    }

    /// The card of the procedure for these choices: steps that they leave out are there by number alone.
    pub fn card(&self, position: usize, choices: &Choices) -> Meaning<'a> {
        procedure::meaning(self, position, Some(choices))
    }
}
