//! What the walk found wrong, as plain data. The words are the rules'.

use crate::check::walk::guard::Literal;
use crate::domain::timer::Duration;
use crate::model::registers::{Action, Consumable, Hold, Joint, Measurement, Part, State, Temporary, Timer, Torque};
use crate::model::{Entity, Handle, Item};
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
    /// A state is needed, by an entry or by a mark, and nothing says what it is: it has no start, and nothing has set it yet.
    NeedUnknown {
        state: Handle<State>,
        needs: usize,
        by: Option<Entity>,
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
    /// Comes off while something holds it: tight fasteners, a clip, or fasteners (`part`) that are still in.
    Held {
        part: Handle<Part>,
        by: Entity,
        still_in: bool,
    },
    /// Fasteners that are tight come off.
    HeldTight { part: Handle<Part>, by: Handle<Torque> },
    /// Fasteners or a clip go on, or are tightened or started, while there is nothing for them to hold.
    HoldsNothing { by: Entity, part: Handle<Part> },
    /// Fasteners are started or tightened while their own part isn't whole.
    FastenersMissing { torque: Handle<Torque>, part: Handle<Part> },
    /// Fasteners are loosened that are out.
    LoosenedOut { torque: Handle<Torque> },
    /// Left out though what they hold is on.
    LeftOut { torque: Handle<Torque> },
    /// Worked on under something that covers it.
    Covered { thing: Entity, by: Entity },
    /// Worked on in an assembly that is on.
    Inside { thing: Entity, assembly: Handle<Part> },
    /// Something that is needed isn't so. `by` is what needs it; a mark if there is none.
    Lacks {
        by: Option<Entity>,
        thing: Entity,
        lack: Lack,
    },
    /// More new pieces go on than there are.
    NoneLeft { part: Handle<Part> },
    /// Goes back without its place having been marked.
    NotMarked { part: Handle<Part> },
    /// Not on, or not off, at the end as it should be.
    WrongEnd { part: Handle<Part>, on: bool },
    /// Named though it isn't there for these choices.
    NotThere { thing: Entity },
    /// Tightened without what goes on them.
    Dry {
        torque: Handle<Torque>,
        lubricant: Handle<Consumable>,
    },
    /// Used though it is off.
    UsedOff { item: Handle<Temporary> },
    /// A state at another value than a temporary item keeps it.
    Kept {
        item: Handle<Temporary>,
        state: Handle<State>,
        is: usize,
    },
    /// A card ends so.
    Perilous { thing: Entity, value: Option<usize> },
    /// A joint with so many fillings closed.
    Filling { joint: Handle<Joint>, count: u32 },
    /// Something is put on a joint that is closed.
    JointClosed { joint: Handle<Joint> },
    /// A joint closed with something that hardens, and nobody waits.
    NeverWaited {
        joint: Handle<Joint>,
        consumable: Handle<Consumable>,
    },
    /// A wait where nothing cures.
    NothingCures { consumable: Handle<Consumable> },
    /// Closed later than what is in it stays open.
    OpenOver {
        joint: Handle<Joint>,
        consumable: Handle<Consumable>,
        takes: Duration,
    },
    /// A step without a time in a window, or in the open time of a joint.
    Untimed { window: Entity },
    /// A hold point in the open time of a joint.
    HoldInOpen { joint: Handle<Joint>, hold: Handle<Hold> },
    /// Asked about before it was measured.
    NoAnswer { limit: Handle<Measurement> },
    /// A way back on which nothing asks again.
    NeverEnds,
    /// Points at a step that isn't there for all choices that it is there for itself.
    PointsNowhere { target: Span },
    /// Worked out of a reading that hasn't been taken.
    NotRead {
        calc: Handle<Measurement>,
        reading: Handle<Measurement>,
    },
    /// No way reaches the step.
    Unreached,
}

/// What is not as it is needed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lack {
    /// Not on, or not whole.
    Missing,
    /// On with a piece in it that is spent.
    Spent,
    /// In an assembly that isn't on.
    Aside(Handle<Part>),
    /// On, though it must be off.
    On,
    /// Not tight.
    Loose,
    /// Tight, though it must not be.
    Tight,
    /// A joint that isn't closed.
    Open,
    /// A joint that hasn't cured.
    Uncured,
    /// Not done, or not measured, since something it needs was last touched.
    Undone,
    /// A state at this value.
    Is(usize),
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
            Wrong::Filling { count, .. } => *count = 0,
            Wrong::OpenOver { takes, .. } => *takes = Duration::zero(),
            Wrong::Kept { is, .. } => *is = 0,
            Wrong::Lacks { lack, .. } => {
                if let Lack::Is(value) = lack {
                    *value = 0;
                }
            }
            Wrong::Refitted { .. }
            | Wrong::SnuggedTwice { .. }
            | Wrong::FastenerReused { .. }
            | Wrong::ForbiddenItem { .. }
            | Wrong::NeedUnknown { .. }
            | Wrong::StartedTwice { .. }
            | Wrong::NotStarted { .. }
            | Wrong::NeverEnded { .. }
            | Wrong::HoldInWindow { .. }
            | Wrong::BreakInWindow { .. }
            | Wrong::CureNotTimed { .. }
            | Wrong::OpenNotTimed { .. }
            | Wrong::Held { .. }
            | Wrong::HeldTight { .. }
            | Wrong::HoldsNothing { .. }
            | Wrong::FastenersMissing { .. }
            | Wrong::LoosenedOut { .. }
            | Wrong::LeftOut { .. }
            | Wrong::Covered { .. }
            | Wrong::Inside { .. }
            | Wrong::NoneLeft { .. }
            | Wrong::NotMarked { .. }
            | Wrong::WrongEnd { .. }
            | Wrong::NotThere { .. }
            | Wrong::Dry { .. }
            | Wrong::UsedOff { .. }
            | Wrong::Perilous { .. }
            | Wrong::JointClosed { .. }
            | Wrong::NeverWaited { .. }
            | Wrong::NothingCures { .. }
            | Wrong::Untimed { .. }
            | Wrong::HoldInOpen { .. }
            | Wrong::NoAnswer { .. }
            | Wrong::NeverEnds
            | Wrong::PointsNowhere { .. }
            | Wrong::NotRead { .. }
            | Wrong::Unreached => {}
        }
        class
    }
}

/// Ways to do the set that were not tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Untried {
    pub at: Span,
    pub what: Left,
}

/// What there was too much of to try it all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Left {
    /// Orders of the steps of one list, or of the sub-steps of one step.
    Steps,
    /// Orders of the procedures.
    Procedures,
    /// Orders of several lists together; each by itself was tried.
    Together,
    /// Ways back that meet each other.
    Repeats,
    /// Choices and answers for which something that looks wrong is so.
    Choices,
}

/// How something came to be as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum How {
    /// Declared so; the place is the entry.
    AtStart,
    /// Declared without saying how it is at the start; the place is the entry.
    Unsaid,
    Fitted,
    Removed,
    Loosened,
    Snugged,
    Set,
    Started,
    Used,
    Tightened,
    Measured,
    Done,
    Marked,
    Waited,
    /// The last step before it counts.
    Ends,
    /// What asks for it.
    Needs,
}

/// A place where something became as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
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
    /// Further places that bear on it.
    pub more: Vec<Since>,
    /// Where the set ends, if only its end shows the fault.
    pub end: Option<Span>,
    /// The fewest choices that bring it about, whatever else is chosen; none if it always happens.
    pub choices: Vec<Literal>,
    /// True if only another order than the written one brings it about, which the set allows.
    pub reordered: bool,
}
