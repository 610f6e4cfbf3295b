//! What changed between two states of a folder of sets, by meaning: which torque, limit, step, message or part is another, said so that
//! somebody at the bench can act on it. Reflowed lines, renamed files and the same value in another unit are no change.
//!
//! ```text
//! two models ─▶ sets paired ─▶ cards paired ─▶ meanings compared (messages, entries, steps, words) ─▶ Diff ─▶ terminal, Markdown, JSON, change sheet
//! ```
//!
//! A card has changes exactly if its meaning, and with it its fingerprint, is another.

mod cards;
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

pub use model::{CardDiff, Change, Chosen, Diff, Fate, Kind, Place, SetDiff, Shared, Shown};
pub use sheet::sheet;

use crate::check::Facts;
use crate::model::Model;
use crate::source::FileSet;

/// One of the two states.
#[derive(Clone, Copy)]
pub struct Side<'a> {
    pub files: &'a FileSet,
    pub model: &'a Model,
    /// Of each set of the model.
    pub facts: &'a [Facts],
    /// What the state is called.
    pub name: &'a str,
}

/// Compares two states. Deterministic: the same states give the same diff.
pub fn diff(old: Side, new: Side) -> Diff {
    Diff {
        old: old.name.to_string(),
        new: new.name.to_string(),
        sets: sets::compare(old, new),
        remarks: Vec::new(),
    }
}
