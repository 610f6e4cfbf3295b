//! What stands between cards, as plain data: how the machine is handed on.

use crate::fingerprint::leaf;
use crate::source::Span;
use crate::words::Phrase;

leaf! {
    /// How the machine stands between two cards; each list empty where there is nothing to say.
    #[derive(Default)]
    pub struct Standing {
        /// Temporary items that are on.
        says fitted: Vec<StandingRow>,
        /// Parts that are off the machine and whose place nothing has taken, as far as the card touches them.
        says off: Vec<StandingRow>,
        /// Sorts of parts that are off besides, which the card doesn't touch: the card that took them off names them.
        says rest: usize,
        /// Fasteners that are loose or only started by hand.
        says loose: Vec<StandingRow>,
        /// States that are not as at the start.
        says states: Vec<StandingRow>,
        /// Windows and waits that run.
        says timers: Vec<StandingRow>,
    }
}

leaf! {
    /// One thing that stands so, and since when.
    pub struct StandingRow {
        says what: String,
        /// How many; 1 where there is nothing to count.
        says count: usize,
        /// Flag colour, value of the state, loose or by hand; may be empty.
        says detail: Phrase,
        /// The step since which it is so, `1.7`, of this card; `card 1, 1.7` of another.
        exempt(Since) since: Phrase,
        /// Number of the phase of the card that finds it so whose steps touch it first; empty if none does, and of what a card leaves.
        says touched: String,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}
