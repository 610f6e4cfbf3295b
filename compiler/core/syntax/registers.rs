//! What the registers hold, as written: values typed, references still names.

pub use super::drawn::{Layout, Pattern, Picture, Places, Pointer};
pub use super::side::Side;
use super::ties::Ties;
use super::{At, Worded};
use crate::domain::amount::Amount;
use crate::domain::fastener::{Fastener, TappedMaterial};
use crate::domain::hazard::GhsPictogram;
use crate::domain::limit::{Interval, Limit, Tolerance};
use crate::domain::lubrication::Condition;
use crate::domain::quantity::{Measure, Written};
use crate::domain::tightening::{Drag, Stage};
use crate::domain::timer::Duration;
use crate::domain::tool::Deviation;
use crate::syntax::Name;
use jiff::civil::Date;
use std::fmt;
use uom::si::f64::{Angle, Length};

/// One entry of a register.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry<T> {
    pub id: Name,
    pub value: T,
}

/// The registers of one file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Registers {
    pub parts: Vec<Entry<Part>>,
    pub temporary: Vec<Entry<Temporary>>,
    pub consumables: Vec<Entry<Consumable>>,
    pub tools: Vec<Entry<Tool>>,
    pub torques: Vec<Entry<Torque>>,
    pub limits: Vec<Entry<Measurement>>,
    pub states: Vec<Entry<State>>,
    pub actions: Vec<Entry<Action>>,
    pub timers: Vec<Entry<Timer>>,
    pub holds: Vec<Entry<Hold>>,
    pub options: Vec<Entry<Choice>>,
    pub patterns: Vec<Entry<Pattern>>,
    pub joints: Vec<Entry<Joint>>,
    pub cases: Vec<Entry<Case>>,
    pub groups: Vec<Entry<Group>>,
    pub pictures: Vec<Entry<Picture>>,
}

/// Names a register.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Register {
    Parts,
    Temporary,
    Consumables,
    Tools,
    Torques,
    Limits,
    States,
    Actions,
    Timers,
    Holds,
    Options,
    Patterns,
    Joints,
    Cases,
    Groups,
    Pictures,
}

/// Every register, in the order of the language's table.
pub const REGISTERS: [Register; 16] = [
    Register::Parts,
    Register::Temporary,
    Register::Consumables,
    Register::Tools,
    Register::Torques,
    Register::Limits,
    Register::States,
    Register::Actions,
    Register::Timers,
    Register::Holds,
    Register::Options,
    Register::Patterns,
    Register::Joints,
    Register::Cases,
    Register::Groups,
    Register::Pictures,
];

impl Register {
    /// The field that holds it.
    pub fn field(self) -> &'static str {
        match self {
            Register::Parts => "parts",
            Register::Temporary => "temporary",
            Register::Consumables => "consumables",
            Register::Tools => "tools",
            Register::Torques => "torques",
            Register::Limits => "limits",
            Register::States => "states",
            Register::Actions => "actions",
            Register::Timers => "timers",
            Register::Holds => "holds",
            Register::Options => "options",
            Register::Patterns => "patterns",
            Register::Joints => "joints",
            Register::Cases => "cases",
            Register::Groups => "groups",
            Register::Pictures => "pictures",
        }
    }

    /// One entry, with its article: `a part`.
    pub fn entry(self) -> &'static str {
        match self {
            Register::Parts => "a part",
            Register::Temporary => "a temporary item",
            Register::Consumables => "a consumable",
            Register::Tools => "a tool",
            Register::Torques => "a torque",
            Register::Limits => "a limit",
            Register::States => "a state",
            Register::Actions => "an action",
            Register::Timers => "a timer",
            Register::Holds => "a hold point",
            Register::Options => "an option",
            Register::Patterns => "a pattern",
            Register::Joints => "a joint",
            Register::Cases => "a case",
            Register::Groups => "a group",
            Register::Pictures => "a picture",
        }
    }

    /// Parts, temporary items, consumables and tools share one space of ids, because marks name them alike.
    pub fn space(self) -> Register {
        match self {
            Register::Temporary | Register::Consumables | Register::Tools => Register::Parts,
            other => other,
        }
    }
}

impl fmt::Display for Register {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(self.field())
    }
}

/// Whether a part goes back on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Reuse {
    #[default]
    Yes,
    /// Single use: new each time.
    No,
    /// After it has passed its inspection.
    Inspect,
}

/// A hazard that an entry brings into every step that names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hazard {
    Pressure,
    Spring,
    Electricity,
    Lifting,
    Heat,
    Rotation,
    Eyes,
    Sharp,
}

/// The words of `hazard:`.
pub const HAZARDS: [(&str, Hazard); 8] = [
    ("pressure", Hazard::Pressure),
    ("spring", Hazard::Spring),
    ("electricity", Hazard::Electricity),
    ("lifting", Hazard::Lifting),
    ("heat", Hazard::Heat),
    ("rotation", Hazard::Rotation),
    ("eyes", Hazard::Eyes),
    ("sharp", Hazard::Sharp),
];

impl Hazard {
    /// The word that names it.
    pub fn word(self) -> &'static str {
        HAZARDS
            .iter()
            .find(|(_, hazard)| *hazard == self)
            .map_or("", |(word, _)| word)
    }
}

/// A component or fastener that belongs on the machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    pub name: String,
    pub number: Option<Name>,
    pub qty: u32,
    /// As written: `12.50 EUR`.
    pub price: Option<Name>,
    pub reuse: Reuse,
    /// On the machine when the set starts.
    pub fitted: bool,
    /// The part whose place it takes.
    pub replaces: Option<Name>,
    /// Off comes the old one, on goes a new one.
    pub renew: bool,
    /// How many new ones there are beyond `qty`.
    pub spares: u32,
    /// It goes back as it sat: its place is marked before it comes off.
    pub marked: bool,
    /// It wears: worth a look whenever it lies open.
    pub wear: bool,
    /// On or off at the end, whatever it was at the start.
    pub finish: Option<bool>,
    pub ties: Ties,
    /// What it brings into a step that fits, removes or uses it.
    pub hazards: Vec<Hazard>,
    pub note: Option<Name>,
}

impl Part {
    /// True if what comes off doesn't go back on: a new one does.
    pub fn is_new_each_time(&self) -> bool {
        self.renew || self.reuse == Reuse::No
    }
}

/// A thing fitted only for the job.
#[derive(Debug, Clone, PartialEq)]
pub struct Temporary {
    pub name: String,
    pub qty: u32,
    /// The colour it is flagged with.
    pub flag: Option<Name>,
    /// States that it holds, with the values at which it goes on.
    pub keeps: Vec<(Name, Vec<Name>)>,
    /// Nobody leaves the work while it is on.
    pub perilous: bool,
    pub ties: Ties,
    pub note: Option<Name>,
}

/// Oil, sealant, threadlocker, cleaner.
#[derive(Debug, Clone, PartialEq)]
pub struct Consumable {
    pub name: String,
    pub amount: Option<At<Amount>>,
    /// GHS pictogram codes.
    pub hazards: Vec<Worded<GhsPictogram>>,
    /// Time to close the joint.
    pub open: Option<At<Duration>>,
    /// Time before service.
    pub cure: Option<At<Duration>>,
    pub price: Option<Name>,
    pub note: Option<Name>,
}

/// A tool in the shop.
#[derive(Debug, Clone, PartialEq)]
pub struct Tool {
    pub name: String,
    pub kind: Option<Name>,
    pub range: Option<At<Interval>>,
    /// Scale step.
    pub step: Option<At<Measure>>,
    /// Square drive.
    pub drive: Option<At<Written<Length>>>,
    pub accuracy: Option<At<Tolerance>>,
    /// How far its certificate says that it reads off.
    pub deviation: Option<At<Deviation>>,
    /// From the drive to the middle of the grip.
    pub length: Option<At<Written<Length>>>,
    pub resolution: Option<At<Measure>>,
    pub number: Option<Name>,
    /// The last day that its calibration holds for.
    pub calibrated_until: Option<At<Date>>,
    /// What it brings into a step that uses it.
    pub hazards: Vec<Hazard>,
    pub note: Option<Name>,
}

/// A tightening spec.
#[derive(Debug, Clone, PartialEq)]
pub struct Torque {
    pub name: String,
    /// Thread and class: `M8x1.25 8.8`.
    pub fastener: Option<Worded<Fastener>>,
    /// How many there are, if it is said.
    pub count: Option<At<u32>>,
    /// The stages in order; one figure is a single stage. Never empty once the entry had no error.
    pub stages: Vec<At<Stage>>,
    pub tolerance: Option<At<Tolerance>>,
    pub lubrication: Lubrication,
    pub engagement: Option<At<Written<Length>>>,
    /// The clamped length, for estimates of what an angle adds.
    pub grip: Option<At<Written<Length>>>,
    /// The tapped material.
    pub into: Option<Worded<TappedMaterial>>,
    pub adapter: Option<Adapter>,
    /// Of a self-locking nut: it comes on top of the torque.
    pub drag: Option<At<Drag>>,
    pub pattern: Option<Name>,
    pub reuse: Reuse,
    pub tool: Option<Name>,
    /// The fasteners themselves, if they are a part.
    pub part: Option<Name>,
    /// The consumable that goes on them before they are tightened.
    pub lubricant: Option<Name>,
    pub ties: Ties,
    /// After what it is tightened once more: hours, a distance, heat cycles.
    pub again: Option<Name>,
    /// How the thread is before it is tightened.
    pub thread: Option<Name>,
    /// What the figure was compared with: estimates that speak against it are then not reported.
    pub confirmed: Option<Name>,
    /// What loosening or tightening it brings into a step.
    pub hazards: Vec<Hazard>,
    pub note: Option<Name>,
}

/// State of the sliding faces.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Lubrication {
    pub threads: Option<Worded<Condition>>,
    pub face: Option<Worded<Condition>>,
    /// Something is written for the threads and couldn't be read: it has had its finding.
    pub unread: bool,
}

/// An extension that changes the lever.
#[derive(Debug, Clone, PartialEq)]
pub struct Adapter {
    pub length: Option<At<Written<Length>>>,
    /// 0° in line with the wrench.
    pub angle: Option<At<Written<Angle>>>,
}

/// A measurement with limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Measurement {
    pub name: String,
    /// `None` only after an error.
    pub limit: Option<At<Limit>>,
    pub gauge: Option<Name>,
    /// Places, or the rows of a grid.
    pub rows: Vec<Name>,
    pub columns: Vec<Name>,
    pub record: bool,
    pub calc: Option<Name>,
    /// What to do where a reading is out.
    pub out: Option<Name>,
    pub ties: Ties,
    pub note: Option<Name>,
}

/// A discrete condition of the machine.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    pub name: String,
    pub values: Vec<Name>,
    pub start: Option<Name>,
    pub finish: Option<Name>,
    /// Values at which nobody leaves the work.
    pub perilous: Vec<Name>,
    pub ties: Ties,
    /// What a step that changes it brings.
    pub hazards: Vec<Hazard>,
    pub note: Option<Name>,
}

/// An act with rules.
#[derive(Debug, Clone, PartialEq)]
pub struct Action {
    pub name: String,
    pub ties: Ties,
    /// State and the value it gets.
    pub sets: Vec<(Name, Name)>,
    /// What a step that does it brings.
    pub hazards: Vec<Hazard>,
    pub note: Option<Name>,
}

/// How a timer judges the time between its start and its end.
#[derive(Debug, Clone, PartialEq)]
pub enum Span {
    /// A window: closed within this time.
    Within(At<Duration>),
    /// A wait: not before this time.
    AtLeast(At<Duration>),
}

/// A window or a wait.
#[derive(Debug, Clone, PartialEq)]
pub struct Timer {
    pub what: String,
    /// `None` only after an error.
    pub span: Option<Span>,
    pub ties: Ties,
    pub note: Option<Name>,
}

/// A hold point.
#[derive(Debug, Clone, PartialEq)]
pub struct Hold {
    pub what: String,
    /// Somebody other than the one who did it signs.
    pub second_person: bool,
    pub ties: Ties,
    pub note: Option<Name>,
}

/// A choice the job offers.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    pub what: String,
    /// Value and why one would choose it.
    pub values: Vec<(Name, Option<Name>)>,
    pub default: Option<Name>,
    pub ties: Ties,
    pub note: Option<Name>,
}

/// Two faces and what seals them.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    pub name: String,
    /// Parts and consumables, of which it holds exactly one.
    pub takes: Vec<Name>,
    /// Torques, or a part, that close it.
    pub closed_by: Vec<Name>,
    pub ties: Ties,
    pub note: Option<Name>,
}

/// What may turn out to be so at the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    pub what: String,
    pub note: Option<Name>,
}

/// Things that a machine has several of alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    pub name: String,
    pub members: Vec<Name>,
    pub note: Option<Name>,
}
