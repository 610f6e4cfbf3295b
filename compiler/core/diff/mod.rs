//! What changed between two states of a folder of sets, by meaning: which torque, limit, step, message or part is another, said so that
//! somebody at the bench can act on it. Reflowed lines, renamed files and the same value in another unit are no change.
//!
//! ```text
//! two models ─▶ sets paired ─▶ cards paired ─▶ leaves compared, choice by choice (messages, things, steps, words, what is carried)
//!            ─▶ Diff ─▶ terminal, Markdown, JSON, change sheet
//! ```
//!
//! What is compared are the leaves themselves, by the value beside each printed one: a card that only prints a value otherwise has
//! another code and no change.

mod cards;
mod carried;
mod class;
mod field;
mod front;
pub mod human;
pub mod leaf;
pub mod mark;
pub mod markdown;
mod messages;
mod model;
mod pairs;
pub mod rules;
mod sets;
mod sheet;
mod specs;
mod steps;
mod view;

pub use model::{CardDiff, Change, Chosen, Class, Diff, Fate, Kind, Place, SetDiff, Shared, Shown};
pub use sheet::sheet;

use crate::check::Facts;
use crate::model::{Model, Set};
use crate::source::FileSet;

/// One of the two states.
#[derive(Clone, Copy)]
pub struct Side<'a> {
    pub files: &'a FileSet,
    pub model: &'a Model,
    /// Of each set of the model.
    pub facts: &'a [Facts],
    /// Of each set, whether errors keep it from being printed: what it seems to say may not be what was meant. A set that isn't here has
    /// none.
    pub blocked: &'a [bool],
    /// What the state is called.
    pub name: &'a str,
}

impl Side<'_> {
    fn is_blocked(&self, set: usize) -> bool {
        self.blocked.get(set).copied().unwrap_or(false)
    }
}

/// Compares two states. Deterministic: the same states give the same diff.
pub fn diff(old: Side, new: Side) -> Diff {
    diff_of(old, new, &|_| true)
}

/// The same, of sets alone whose former state is wanted, or that are new where every set is.
pub fn diff_of(old: Side, new: Side, wanted: &dyn Fn(Option<&Set>) -> bool) -> Diff {
    let mut diff = Diff {
        old: old.name.to_string(),
        new: new.name.to_string(),
        ..Diff::default()
    };
    sets::compare(old, new, wanted, &mut diff);
    diff
}
