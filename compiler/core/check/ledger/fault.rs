//! What the walk found wrong, as plain data. The words are the rules'.

use crate::check::walk::guard::Literal;
use crate::domain::timer::Duration;
use crate::model::registers::{Action, Consumable, Hold, Part, State, Temporary, Timer, Torque};
use crate::model::{Handle, Item};
use crate::source::Span;

/// Something wrong, where, and when. State values are indices into the state's `values`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wrong {
    /// Goes on beyond what there is of it: so many are on, and so many more go on.
    FittedTwice { item: Item, on: u32, asked: u32 },
    /// A part goes on where another that it replaces, or that replaces it, still is.
    PlaceTaken { part: Handle<Part>, by: Handle<Part> },
    /// Comes off though fewer are on.
    RemovedOff { item: Item, on: u32, asked: u32 },
    /// Still on when the set ends.
    LeftOn { item: Handle<Temporary>, on: u32 },
    /// So many came off and nothing took their place.
    LeftOff { part: Handle<Part>, missing: u32 },
    /// A single-use part goes on again.
    Refitted { part: Handle<Part> },
    /// Loose, or started by hand (`snug`), when the set ends.
    LeftLoose { torque: Handle<Torque>, snug: bool },
    /// Started by hand again without having been tightened.
    SnuggedTwice { torque: Handle<Torque> },
    /// Single-use fasteners tightened again with nothing new fitted since they were loosened.
    FastenerReused { torque: Handle<Torque> },
    /// An action in the wrong state.
    WrongState {
        action: Handle<Action>,
        state: Handle<State>,
        is: usize,
        needs: usize,
    },
    /// An action with something fitted that forbids it.
    ForbiddenItem {
        action: Handle<Action>,
        item: Handle<Temporary>,
    },
    /// A `[need …]` that isn't so.
    NeedNotMet {
        state: Handle<State>,
        is: usize,
        needs: usize,
    },
    /// The set ends in another state than it should.
    WrongFinish {
        state: Handle<State>,
        is: usize,
        finish: usize,
    },
    /// Started while it runs.
    StartedTwice { timer: Handle<Timer> },
    /// Ended while it doesn't run.
    NotStarted { timer: Handle<Timer> },
    /// Still running when the set ends.
    NeverEnded { timer: Handle<Timer> },
    /// The steps of a window take longer than it is.
    Overrun { timer: Handle<Timer>, takes: Duration },
    /// A hold point while a window runs.
    HoldInWindow { timer: Handle<Timer>, hold: Handle<Hold> },
    /// A phase or card ends while a window runs.
    BreakInWindow { timer: Handle<Timer>, card: bool },
    /// No wait as long as the cure follows the use.
    CureNotTimed { consumable: Handle<Consumable> },
    /// No window as short as the open time runs at the use.
    OpenNotTimed { consumable: Handle<Consumable> },
}

impl Wrong {
    /// The same with what differs from one combination of choices to another left out, so that one fault at one place is one finding.
    pub fn class(&self) -> Wrong {
        let mut class = self.clone();
        match &mut class {
            Wrong::FittedTwice { on, .. } | Wrong::RemovedOff { on, .. } | Wrong::LeftOn { on, .. } => *on = 0,
            Wrong::LeftOff { missing, .. } => *missing = 0,
            Wrong::LeftLoose { snug, .. } => *snug = false,
            Wrong::WrongState { is, .. } | Wrong::NeedNotMet { is, .. } | Wrong::WrongFinish { is, .. } => *is = 0,
            Wrong::Overrun { takes, .. } => *takes = Duration::zero(),
            Wrong::PlaceTaken { by, part } => *by = *part,
            Wrong::Refitted { .. }
            | Wrong::SnuggedTwice { .. }
            | Wrong::FastenerReused { .. }
            | Wrong::ForbiddenItem { .. }
            | Wrong::StartedTwice { .. }
            | Wrong::NotStarted { .. }
            | Wrong::NeverEnded { .. }
            | Wrong::HoldInWindow { .. }
            | Wrong::BreakInWindow { .. }
            | Wrong::CureNotTimed { .. }
            | Wrong::OpenNotTimed { .. } => {}
        }
        class
    }
}

/// How something came to be as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// Declared so; the place is the entry.
    AtStart,
    Fitted,
    Removed,
    Loosened,
    Snugged,
    Set,
    Started,
    Used,
}

/// A place where something became as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Since {
    pub at: Span,
    pub how: How,
}

/// One fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    pub wrong: Wrong,
    /// Where it goes wrong; if only the end of the set shows it, where it was opened.
    pub at: Span,
    /// Where it was opened, or became as it is.
    pub since: Option<Since>,
    /// Where the set ends, if only its end shows the fault.
    pub end: Option<Span>,
    /// The fewest choices that bring it about, whatever else is chosen; none if it always happens.
    pub choices: Vec<Literal>,
}
