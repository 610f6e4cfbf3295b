//! Leaves that stand beside the cards of a set, as plain data: what is ticked at the end, what fits a pocket.

use super::between::StandingRow;
use super::card::{Identity, Measurement, Torque};
use crate::fingerprint::{Kind, leaf};
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
