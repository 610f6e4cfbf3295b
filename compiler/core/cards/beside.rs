//! Leaves that stand beside the cards of a set, as plain data: what is ticked at the end, what fits a pocket.

use super::between::StandingRow;
use super::card::{Identity, Measurement, Torque};
use serde::Serialize;

/// What is ticked when every card of a set is done.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CloseOut {
    /// As on the cards; `procedure` is `close-out` and `position` one past the last card.
    pub identity: Identity,
    pub notices: Vec<String>,
    /// Every temporary item: `since` is the step that takes it off (several joined by `, `).
    pub temporary: Vec<StandingRow>,
    /// Every fastener: `detail` its final figure in both units, `since` the last step that tightens it.
    pub torques: Vec<StandingRow>,
    /// Every hold point: `since` the step it stands after; `detail` says if a second person signs.
    pub holds: Vec<StandingRow>,
    /// Every state with a value to finish in: `detail` the value.
    pub states: Vec<StandingRow>,
}

/// Torques and limits alone, to carry about: of a whole set, or of one card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pocket {
    /// As on the cards; `procedure` is `pocket` for a whole set.
    pub identity: Identity,
    pub notices: Vec<String>,
    /// Each figure once, its `steps` with their card where there are several cards.
    pub torques: Vec<Torque>,
    /// Each limit once, likewise.
    pub measurements: Vec<Measurement>,
}
