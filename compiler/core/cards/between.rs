//! What stands between cards, as plain data: how the machine is handed on.

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
