//! The change sheet as plain data: what to tell the bench, and which printed cards to replace. `diff` fills it in.

use crate::cards::card::Identity;
use crate::fingerprint::{Kind, leaf};
use crate::words::Phrase;

leaf! {
    /// What changed between two states of some sets.
    pub struct ChangeSheet {
        /// `procedure` is `changes`; `set` is empty where several sets changed, or none.
        says identity: Identity,
        /// What the older state is called: `v1.2 (3f2a91c)`.
        exempt(Revision) old: String,
        exempt(Revision) new: String,
        /// True if anything changed that matters at the bench.
        says matters: bool,
        /// Cards that changed, are new, are gone.
        says changed: usize,
        says added: usize,
        says removed: usize,
        /// Safety messages weakened or dropped, with the cards they are on.
        says loud: Vec<SharedRow>,
        /// Printed cards to put right, in the order of the sets.
        says replace: Vec<Replace>,
        says sets: Vec<SetChanges>,
        /// What couldn't be compared, and why.
        exempt(Revision) remarks: Vec<Phrase>,
    }
}

impl Kind for ChangeSheet {
    const NAME: &'static str = "changes";
}

leaf! {
    /// A change that is told for some cards at once.
    pub struct SharedRow {
        /// Titles of the cards.
        says cards: Vec<String>,
        says change: Row,
    }
}

leaf! {
    /// A printed card that is out of date.
    pub struct Replace {
        says set_title: String,
        exempt(Number) position: usize,
        says title: String,
        /// `replace`, `print` or `take-down`.
        says act: &'static str,
        /// Check codes for the default choices; empty where there is no card.
        says old_code: String,
        says new_code: String,
        /// Only cards for other than the default choices are out of date.
        says other_choices: bool,
    }
}

leaf! {
    /// What became of a set.
    pub struct SetChanges {
        exempt(Span) id: String,
        says title: String,
        /// `kept`, `added` or `removed`.
        says fate: &'static str,
        /// Its former folder, if it is another.
        exempt(Span) was: String,
        /// Titles of the cards that changed places in the set's order.
        says reordered: Vec<String>,
        /// What several cards share, once each; without what is loud.
        says shared: Vec<SharedRow>,
        says cards: Vec<CardChanges>,
    }
}

leaf! {
    /// What became of a card.
    pub struct CardChanges {
        exempt(Number) position: usize,
        says title: String,
        exempt(Span) procedure: String,
        /// `kept`, `added` or `removed`.
        says fate: &'static str,
        exempt(Revision) old_rev: String,
        exempt(Revision) new_rev: String,
        /// The meaning changed and the revision did not.
        exempt(Revision) rev_not_raised: bool,
        says old_code: String,
        says new_code: String,
        /// A safety message of it is among the loud ones.
        says safety: bool,
        /// Most serious first; without what is loud or shared.
        says changes: Vec<Row>,
        /// What looks like a change and is none.
        says same: Vec<Phrase>,
    }
}

leaf! {
    /// One change.
    pub struct Row {
        /// `message-dropped`, `value`, `step-moved` …
        says kind: &'static str,
        /// What changed: `step 2.3`.
        says subject: Phrase,
        /// Which field of it; may be empty.
        says field: Phrase,
        /// As it was, and in the second unit; empty if it was not.
        says old: Phrase,
        says old_second: Phrase,
        /// As it is; empty if it is no more.
        says new: Phrase,
        says new_second: Phrase,
        /// New over old: `×12`; may be empty.
        says ratio: Phrase,
        says note: Phrase,
        /// Old and new are the author's sentences rather than values.
        says prose: bool,
    }
}
