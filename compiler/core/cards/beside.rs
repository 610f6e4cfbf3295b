//! Leaves that stand beside the cards of a set, as plain data: what is ticked at the end, what fits a pocket, what is kept.

use super::between::StandingRow;
use super::card::{Block, HazardRow, Hold, Identity, KitRow, Measurement, StepAt, Timer, Torque};
use super::value::Value;
use crate::fingerprint::{Kind, leaf};
use crate::source::Span;
use crate::words::Phrase;

leaf! {
    /// What is ticked when every card of a set is done.
    pub struct CloseOut {
        /// As on the cards; `procedure` is `close-out` and `position` one past the last card.
        says identity: Identity,
        says notices: Vec<Phrase>,
        /// Every temporary item: `since` is the step that takes it off (several joined by `, `).
        says temporary: Vec<StandingRow>,
        /// Every fastener: `detail` its final figure in both units, `since` the last step that tightens it.
        says torques: Vec<StandingRow>,
        /// Every hold point: `since` the step it stands after; `detail` says if a second person signs.
        says holds: Vec<StandingRow>,
        /// Every state with a value to finish in: `detail` the value.
        says states: Vec<StandingRow>,
    }
}

impl Kind for CloseOut {
    const NAME: &'static str = "out";
}

leaf! {
    /// What is the same on every card of a set, once: what the work is, what it takes, the worst that can happen, and the cards.
    pub struct SetSheet {
        /// As on the cards; `procedure` is `set-sheet` and `position` 0.
        says identity: Identity,
        says about: Vec<Block>,
        /// What the set applies to; empty if not said.
        says applies_to: String,
        /// Standing cautions (local codes and licensed practice first, the set's own after).
        says notices: Vec<Phrase>,
        /// In the order of work.
        says cards: Vec<SetCard>,
        /// The most severe level of the set and the one below it: one row per hazard, with the cards that have it.
        says hazards: Vec<HazardRow>,
        /// What the cards take, each thing once and without its amount; `steps` are numbers of cards.
        says tools: Vec<KitRow>,
        says parts: Vec<KitRow>,
        says consumables: Vec<KitRow>,
        says temporary: Vec<KitRow>,
    }
}

impl Kind for SetSheet {
    const NAME: &'static str = "front";
}

leaf! {
    /// One card of a set.
    pub struct SetCard {
        exempt(Number) position: usize,
        exempt(Span) procedure: String,
        says title: String,
        /// What stands at the foot of its leaves.
        says code: String,
        says steps: usize,
        /// Sum of the times that its steps give; empty if none does.
        says hands_on: Phrase,
        /// Steps that give one: the sum tells nothing of the others.
        says timed: usize,
    }
}

leaf! {
    /// Torques and limits alone, to carry about: of a whole set, or of one card.
    pub struct Pocket {
        /// As on the cards; `procedure` is `pocket` for a whole set.
        says identity: Identity,
        /// Each figure once, its `steps` with their card where there are several cards.
        says torques: Vec<Torque>,
        /// Each limit once, likewise.
        says measurements: Vec<Measurement>,
    }
}

impl Kind for Pocket {
    const NAME: &'static str = "pocket";
}

leaf! {
    /// What is copied from cards before they are wiped: of a whole set, or of one card.
    pub struct RecordForm {
        /// As on the cards; `procedure` is `record` for a whole set.
        says identity: Identity,
        /// In the order of work, those with nothing to keep left out.
        says cards: Vec<FormCard>,
    }
}

impl Kind for RecordForm {
    const NAME: &'static str = "form";
}

leaf! {
    /// What is kept of one card.
    pub struct FormCard {
        exempt(Number) position: usize,
        says title: String,
        /// Those that go in the job record.
        says readings: Vec<FormReading>,
        says torques: Vec<FormTorque>,
        says timers: Vec<Timer>,
        says holds: Vec<Hold>,
    }
}

leaf! {
    /// A measurement with a box for each of its readings.
    pub struct FormReading {
        exempt(Span) id: String,
        says name: String,
        says limit: Value,
        /// As on the card.
        says range: Phrase,
        says unit: String,
        /// A name for each box; one empty name where there is one alone.
        says places: Vec<String>,
        says steps: Vec<StepAt>,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}

leaf! {
    /// Fasteners with a box for how many were tightened, and one for the wrench.
    pub struct FormTorque {
        exempt(Span) id: String,
        says name: String,
        /// How many there are.
        says count: usize,
        /// The figures of all stages.
        says figure: Phrase,
        says steps: Vec<StepAt>,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}
