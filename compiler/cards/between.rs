//! What stands between cards and after them, as plain data: how the machine is handed on, what is ticked at the end, what fits a pocket.

use super::card::{Identity, Measurement, Torque};
use serde::Serialize;

/// How the machine stands between two cards; each list empty where there is nothing to say.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Standing {
    /// Temporary items that are on.
    pub fitted: Vec<StandingRow>,
    /// Parts that are off the machine and whose place nothing has taken.
    pub off: Vec<StandingRow>,
    /// Fasteners that are loose or only started by hand.
    pub loose: Vec<StandingRow>,
    /// States that are not as at the start.
    pub states: Vec<StandingRow>,
    /// Windows and waits that run.
    pub timers: Vec<StandingRow>,
}

/// One thing that stands so, and since when.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StandingRow {
    pub what: String,
    /// How many; 1 where there is nothing to count.
    pub count: usize,
    /// Flag colour, value of the state, loose or by hand; may be empty.
    pub detail: String,
    /// The step since which it is so, `1.7`, of this card; `card 1, 1.7` of another.
    pub since: String,
}

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
