//! The plan leaf as plain data: sittings with their bars, waits, and what decides how long it takes. `plan` fills it in.

use crate::words::{Phrase, speaks};
use serde::Serialize;

/// A plan. Durations are ready to print.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// Folder name of the set.
    pub set: String,
    pub title: String,
    pub machine: String,
    /// Sum of the hands-on times.
    pub hands_on: String,
    /// From the start of the first sitting to the end of the last step.
    pub elapsed: String,
    /// Steps that say no time, and what was taken for each.
    pub unstated: usize,
    pub unstated_each: String,
    /// Length of a sitting, empty for none, and the time from one's start to the next's.
    pub sitting: String,
    pub every: String,
    pub sittings: Vec<Sitting>,
    /// Waits that run while something else is done or nobody is there.
    pub waits: Vec<Wait>,
    /// What decides how long it takes at least, whoever helps.
    pub critical: Vec<Leg>,
    /// Sum of the critical legs.
    pub critical_length: String,
    /// False where there were too many orders to try them all.
    pub optimal: bool,
    /// What doesn't fit.
    pub remarks: Vec<Phrase>,
}

/// A moment: seconds after the start of the plan, and the time by the clock (`2026-03-02T18:00:00`), empty without a start.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Moment {
    pub seconds: u64,
    pub at: String,
}

/// A stretch of work between two stops.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sitting {
    /// From 1.
    pub number: usize,
    pub start: Moment,
    pub end: Moment,
    pub work: Vec<Bar>,
}

/// Steps of one card done in one go.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bar {
    /// Place of the card in the set's order, from 1.
    pub card: usize,
    pub procedure: String,
    pub title: String,
    /// First and last step, `2.1`, `2.7`.
    pub from: String,
    pub to: String,
    pub start: Moment,
    pub end: Moment,
    /// On the critical path.
    pub critical: bool,
}

/// A wait as a bar of its own.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wait {
    /// Id of the timer, or of what cures.
    pub timer: String,
    pub what: String,
    /// `12 h`
    pub length: String,
    pub start: Moment,
    /// When it is up.
    pub end: Moment,
    /// On the critical path.
    pub critical: bool,
}

/// One part of the critical path.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Leg {
    /// True for a wait, false for work.
    pub wait: bool,
    /// `strip 2.1 to 2.7`, or what the wait is for.
    pub what: Phrase,
    pub length: String,
}

speaks!(Leg { wait, what, length });
