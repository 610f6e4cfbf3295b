//! The one walk over a set: procedures in the set's order, steps and marks as written, and what happens at each.
//!
//! A mark is spelt out once, in [`event`]: how many go on, what an action asks and brings about. [`flow`] lines the events of a set up,
//! each with the condition for it: the ledger and the rules on hazards follow that for every combination of options at once. [`play()`] goes
//! through it once under one combination and counts: what is carried between cards, where work may stop, the close-out, the kit, the plan and
//! the record's form read that. Nobody else reads a mark for what it does; what a mark prints is the cards' own.
//!
//! ```text
//! set ─▶ flow (events, each with its guard) ─▶ ledger, hazards: every combination
//!                                           ─▶ play: one combination ─▶ cards, close-out, kit, plan, record
//! ```

pub mod event;
pub mod flow;
pub mod guard;
mod joints;
mod play;

pub use event::{Event, OnFastener, OnItem, OnState, OnTimer, Touched, What};
pub use flow::{Flow, Stop};
pub use play::{Done, Happened, Place, Played, play};
