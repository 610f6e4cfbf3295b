//! The change sheet as plain data: what to tell the bench, and which printed cards to replace. `diff` fills it in.

use crate::cards::card::Identity;
use serde::Serialize;

/// What changed between two states of some sets.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChangeSheet {
    /// `procedure` is `changes`; `set` is empty where several sets changed, or none.
    pub identity: Identity,
    /// What the older state is called: `v1.2 (3f2a91c)`.
    pub old: String,
    pub new: String,
    /// True if anything changed that matters at the bench.
    pub matters: bool,
    /// Cards that changed, are new, are gone.
    pub changed: usize,
    pub added: usize,
    pub removed: usize,
    /// Safety messages weakened or dropped, with the cards they are on.
    pub loud: Vec<SharedRow>,
    /// Printed cards to put right, in the order of the sets.
    pub replace: Vec<Replace>,
    pub sets: Vec<SetChanges>,
    /// What couldn't be compared, and why.
    pub remarks: Vec<String>,
}

/// A change that is told for some cards at once.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SharedRow {
    /// Titles of the cards.
    pub cards: Vec<String>,
    pub change: Row,
}

/// A printed card that is out of date.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Replace {
    pub set_title: String,
    pub position: usize,
    pub title: String,
    /// `replace`, `print` or `take-down`.
    pub act: &'static str,
    /// Check codes for the default choices; empty where there is no card.
    pub old_code: String,
    pub new_code: String,
    /// Only cards for other than the default choices are out of date.
    pub other_choices: bool,
}

/// What became of a set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SetChanges {
    pub id: String,
    pub title: String,
    /// `kept`, `added` or `removed`.
    pub fate: &'static str,
    /// Its former folder, if it is another.
    pub was: String,
    /// Titles of the cards that changed places in the set's order.
    pub reordered: Vec<String>,
    /// What several cards share, once each; without what is loud.
    pub shared: Vec<SharedRow>,
    pub cards: Vec<CardChanges>,
}

/// What became of a card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CardChanges {
    pub position: usize,
    pub title: String,
    pub procedure: String,
    /// `kept`, `added` or `removed`.
    pub fate: &'static str,
    pub old_rev: String,
    pub new_rev: String,
    /// The meaning changed and the revision did not.
    pub rev_not_raised: bool,
    pub old_code: String,
    pub new_code: String,
    /// A safety message of it is among the loud ones.
    pub safety: bool,
    /// Most serious first; without what is loud or shared.
    pub changes: Vec<Row>,
    /// What looks like a change and is none.
    pub same: Vec<String>,
}

/// One change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// `message-dropped`, `value`, `step-moved` …
    pub kind: &'static str,
    /// What changed: `step 2.3`.
    pub subject: String,
    /// Which field of it; may be empty.
    pub field: String,
    /// As it was, and in the second unit; empty if it was not.
    pub old: String,
    pub old_second: String,
    /// As it is; empty if it is no more.
    pub new: String,
    pub new_second: String,
    /// New over old: `×12`; may be empty.
    pub ratio: String,
    pub note: String,
    /// Old and new are the author's sentences rather than values.
    pub prose: bool,
}
