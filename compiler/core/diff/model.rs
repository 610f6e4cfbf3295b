//! What a diff is: plain data, serialisable, for the terminal, a review comment, a program, a change sheet and change bars alike.
//!
//! Every text is ready to print; an empty one says that there is nothing to say.

use super::field::Field;
use crate::model::all_assigned;
use crate::words::{Phrase, joined, say};
use serde::Serialize;

/// Two states of a folder of sets, compared by meaning.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Diff {
    /// What the older state is called: `v1.2`, `3f2a91c`.
    pub old: String,
    /// What the newer state is called: `HEAD`, `work tree`.
    pub new: String,
    /// Sets with anything to say.
    pub sets: Vec<SetDiff>,
    /// Titles of sets that errors keep from being compared.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub uncompared: Vec<String>,
    /// What couldn't be compared, and why.
    pub remarks: Vec<Phrase>,
}

impl Diff {
    /// True if anything changed that matters at the bench.
    pub fn matters(&self) -> bool {
        self.sets.iter().any(SetDiff::matters)
    }
}

/// Whether a set, a card or a step is in both states.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Fate {
    Kept,
    Added,
    Removed,
}

/// What became of a set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SetDiff {
    pub id: String,
    pub title: String,
    pub fate: Fate,
    /// Its former folder, if it is another.
    pub was: String,
    /// Changes that several cards of the set share, once each.
    pub shared: Vec<Shared>,
    /// Cards with anything to say, in the set's order, those that are gone last.
    pub cards: Vec<CardDiff>,
    /// Titles of the cards that changed places in the set's order.
    pub reordered: Vec<String>,
}

impl SetDiff {
    pub fn matters(&self) -> bool {
        self.fate != Fate::Kept || !self.reordered.is_empty() || self.cards.iter().any(CardDiff::matters)
    }
}

/// A change of several cards.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shared {
    pub change: Change,
    /// Titles of the cards.
    pub cards: Vec<String>,
}

/// What became of a card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CardDiff {
    /// Id of the procedure.
    pub procedure: String,
    pub title: String,
    /// Place in the set's order, from 1.
    pub position: usize,
    pub fate: Fate,
    /// Its former id, if it is another.
    pub was: String,
    pub old_rev: String,
    pub new_rev: String,
    /// The meaning changed and the revision, though there is one, did not.
    pub rev_not_raised: bool,
    /// Fingerprints of the card for the choices that are now the default; empty where there is no card.
    pub old_code: String,
    pub new_code: String,
    /// The cards for other choices that are not what they were.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<Chosen>,
    /// Printed cards of choices that there are no more.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub withdrawn: Vec<Chosen>,
    /// What changed on the card for the default choices alone.
    #[serde(skip)]
    pub usual: Vec<Change>,
    /// Most serious first.
    pub changes: Vec<Change>,
    /// What looks like a change and is none.
    pub same: Vec<Phrase>,
}

/// A card for other choices than the default ones.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Chosen {
    /// Option and value.
    pub choices: Vec<(String, String)>,
    /// Its fingerprints; the old one is empty if there was no such card.
    pub old: String,
    /// Empty if there is no such card any more.
    pub new: String,
    /// What changed on it.
    #[serde(skip)]
    pub changes: Vec<Change>,
}

impl Chosen {
    /// `service=hot, seal=new`
    pub fn words(&self) -> String {
        all_assigned(self.choices.iter().map(|(o, v)| (o.as_str(), v.as_str())))
    }
}

impl CardDiff {
    pub fn matters(&self) -> bool {
        self.fate != Fate::Kept || !self.changes.is_empty() || !self.withdrawn.is_empty()
    }

    /// What changed on the card for these choices.
    pub fn changes_for(&self, choices: &[(String, String)]) -> &[Change] {
        let agrees = |chosen: &&Chosen| {
            chosen
                .choices
                .iter()
                .all(|c| choices.iter().all(|o| o.0 != c.0 || o.1 == c.1))
        };
        let other = self.others.iter().filter(|c| !c.choices.is_empty()).find(agrees);
        other.map_or(&self.usual, |chosen| &chosen.changes)
    }
}

/// What sort of change. In the order in which changes are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A safety message is gone.
    MessageDropped,
    /// A safety message says less, at a lower level, of fewer steps or for fewer choices.
    MessageWeakened,
    /// A field of an entry: a torque, a limit, a count, a time.
    Value,
    /// The card has a new part, tool, torque, limit, option …
    EntryAdded,
    EntryRemoved,
    StepRemoved,
    StepAdded,
    StepMoved,
    /// A hold, or what must be so, is set so, or may only be done when something is so.
    StepGuard,
    /// Where work must not stop.
    Stop,
    /// How the machine stands before or after the card: states, temporary items, loose fasteners, clocks.
    CarriedGuard,
    /// What is off the machine before or after the card.
    Carried,
    /// What a step's marks do.
    StepWork,
    /// For which choices a step is done, or whether its list has an order.
    StepCondition,
    StepReworded,
    MessageAdded,
    /// A safety message says more.
    MessageStrengthened,
    MessageReworded,
    /// Any other words of the card.
    Words,
    /// What the cards before this one are.
    Order,
    /// Numbers that other changes shifted.
    Numbers,
}

impl Kind {
    /// True for what is told before everything else.
    pub fn is_loud(self) -> bool {
        self <= Kind::MessageWeakened
    }

    /// In a word or two.
    pub fn words(self) -> Phrase {
        match self {
            Kind::MessageDropped => say::kind_message_dropped(),
            Kind::MessageWeakened => say::kind_message_weakened(),
            Kind::Value => say::kind_value(),
            Kind::EntryAdded => say::kind_entry_added(),
            Kind::EntryRemoved => say::kind_entry_removed(),
            Kind::StepRemoved => say::kind_step_removed(),
            Kind::StepAdded => say::kind_step_added(),
            Kind::StepMoved => say::kind_step_moved(),
            Kind::StepWork => say::kind_step_work(),
            Kind::StepGuard => say::kind_step_guard(),
            Kind::Stop => say::kind_stop(),
            Kind::CarriedGuard | Kind::Carried => say::kind_carried(),
            Kind::StepCondition => say::kind_step_condition(),
            Kind::StepReworded => say::kind_step_reworded(),
            Kind::MessageAdded => say::kind_message_added(),
            Kind::MessageStrengthened => say::kind_message_strengthened(),
            Kind::MessageReworded => say::kind_message_reworded(),
            Kind::Words => say::kind_words(),
            Kind::Order => say::kind_order(),
            Kind::Numbers => say::kind_numbers(),
        }
    }
}

/// Worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Default)]
#[serde(rename_all = "lowercase")]
pub enum Class {
    /// A barrier or a hazard: messages and how to avoid what they warn of, holds and who signs, states, what may be done only when,
    /// where work may stop, what a thing is hazardous for; and a figure that stayed while its unit changed.
    Hazard,
    /// A figure that is tightened to, measured against, waited for or poured.
    Figure,
    /// What is done when.
    Order,
    /// What is fitted, used or laid out.
    Part,
    #[default]
    Words,
}

/// One change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    pub class: Class,
    pub kind: Kind,
    /// What changed: `torque of the head bolts`, `step 2.3`.
    pub subject: Phrase,
    /// Which field of it, as the language names it; empty if the whole.
    pub field: Field,
    pub old: Shown,
    pub new: Shown,
    /// New over old: `×12`; empty if it can't be told or is 1.
    pub ratio: String,
    /// What else there is to say.
    pub note: Phrase,
    /// Where on the card it shows.
    pub place: Place,
    /// Told once for several cards.
    pub shared: bool,
    /// The figure stayed and its unit changed.
    #[serde(skip)]
    pub unit_slip: bool,
}

/// Something as it was or is.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Shown {
    /// As written.
    pub text: Phrase,
    /// In the second unit.
    pub second: Phrase,
}

impl Shown {
    pub fn text(text: impl Into<Phrase>) -> Shown {
        Shown {
            text: text.into(),
            second: Phrase::default(),
        }
    }
}

/// Where a change shows on a card: what a change bar stands beside.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Place {
    /// Number of the step as it was.
    pub old_step: String,
    /// Number of the step as it is; of a step that is gone, the one before which it stood (empty at the end).
    pub step: String,
    /// It is about a sub-step of that step.
    pub is_substep: bool,
    /// Register, id and name of an entry.
    pub register: String,
    pub id: String,
    pub name: String,
    /// Numbers of the steps that name the entry now.
    pub named_in: Vec<String>,
}

impl Change {
    pub fn new(kind: Kind, subject: impl Into<Phrase>) -> Change {
        Change {
            class: Class::default(),
            kind,
            subject: subject.into(),
            field: Field::Whole,
            old: Shown::default(),
            new: Shown::default(),
            ratio: String::new(),
            note: Phrase::default(),
            place: Place::default(),
            shared: false,
            unit_slip: false,
        }
    }

    pub fn from_to(mut self, old: impl Into<Phrase>, new: impl Into<Phrase>) -> Change {
        self.old = Shown::text(old);
        self.new = Shown::text(new);
        self
    }

    pub fn field(mut self, field: Field) -> Change {
        self.field = field;
        self
    }

    /// Says under which choices alone it stands: `service = hot`; nothing if it always does.
    pub fn only(mut self, condition: Phrase) -> Change {
        if !condition.is_empty() {
            let before = (!self.note.is_empty()).then(|| std::mem::take(&mut self.note));
            self.note = joined(before.into_iter().chain([say::only_with(condition)]), "; ");
        }
        self
    }

    pub fn note(mut self, note: impl Into<Phrase>) -> Change {
        self.note = note.into();
        self
    }

    pub fn step(mut self, old: &str, new: &str) -> Change {
        self.place.old_step = old.to_string();
        self.place.step = new.to_string();
        self
    }
}
