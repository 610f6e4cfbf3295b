//! Syntax trees of a set in; registers resolved, marks bound, options known, order settled out.

pub(crate) mod catalogue;
pub(crate) mod rules;
mod bind;
mod bind_ties;
mod bound;
mod build;
mod conditions;
pub(crate) mod lookup;
mod pictures;
mod procedures;
pub(crate) mod order;
pub mod ties;

pub use bound::picture_path;
pub use build::{build, names};
pub use catalogue::{Catalogue, Def, Entity, Handle, Home, handle};
pub use conditions::{Choices, Condition, all_assigned, assigned, equals};
pub use pictures::{Pointed, picture_entry};
pub use procedures::{Each, ProcedureId};

use crate::domain::amount::Amount;
use crate::domain::quantity::{Dimension, Unit};
use crate::domain::timer::Duration;
use crate::source::{FileId, Span};
use crate::syntax;
use crate::syntax::registers::{
    Action, Consumable, Hold, Joint, Measurement, Part, Pattern, State, Temporary, Timer, Tool, Torque,
};
use ties::{Need, Never, PerMember, Question, Ties};

/// What was written and stays as it was: nobody above the model asks the syntax.
pub use crate::syntax::{At, LEVELS, Level, Name, Worded, is_id, registers};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::str::FromStr;

/// Everything one compilation knows.
#[derive(Debug, Default)]
pub struct Model {
    pub sets: Vec<Set>,
}

/// One machine or assembly.
#[derive(Debug)]
pub struct Set {
    pub file: FileId,
    /// Folder name; the whole path if two sets share it.
    pub id: String,
    /// Path of the folder.
    pub folder: String,
    pub machine: String,
    pub title: String,
    pub about: Option<Name>,
    pub applies_to: String,
    pub notice: String,
    pub paper: Option<String>,
    pub language: String,
    /// The house's second unit for each dimension.
    pub units: BTreeMap<Dimension, Unit>,
    /// Width of a limit over the resolution its gauge must have; the trade's ten if not said.
    pub gauge_ratio: Option<f64>,
    pub catalogue: Catalogue,
    /// In the set's order: `after` first, then path.
    pub procedures: Each<Procedure>,
    /// False if something couldn't be read without which a walk over the steps would be wrong.
    pub walkable: bool,
    /// False if tools may be missing only because they couldn't be read.
    pub tools_known: bool,
    /// False if a part of a file is no text, so that nobody knows what is named in it.
    pub names_known: bool,
    /// False if what a procedure comes after may be missing only because it couldn't be read.
    pub order_known: bool,
    /// Findings that are not told, with the reason, and those that are errors: codes or names.
    pub allow: Vec<(Name, Name)>,
    pub deny: Vec<Name>,
    /// Paths of the procedures that lie elsewhere.
    pub borrowed: Vec<String>,
    /// Choices that don't go together.
    pub never: Vec<Never>,
    /// Names inside entries, bound.
    pub links: Links,
    /// Every entry that something points at, or most likely means to.
    pub used: BTreeSet<Entity>,
    /// Every name that was looked up, level by level from the farthest.
    pub lookups: Vec<lookup::Lookup>,
}

/// What entries point at, by entry.
#[derive(Debug, Default)]
pub struct Links {
    pub patterns: BTreeMap<Handle<Torque>, Handle<Pattern>>,
    pub wrenches: BTreeMap<Handle<Torque>, Handle<Tool>>,
    pub gauges: BTreeMap<Handle<Measurement>, Handle<Tool>>,
    pub actions: BTreeMap<Handle<Action>, ActionLinks>,
    /// By a part, the one whose place it takes.
    pub replaces: BTreeMap<Handle<Part>, Handle<Part>>,
    /// What the pointers of a picture are at, in their order; nothing for words alone.
    pub pointers: BTreeMap<Handle<registers::Picture>, Vec<Option<Pointed>>>,
    /// How entries hold, cover and need each other.
    pub ties: BTreeMap<Entity, Ties>,
}

impl Links {
    /// What an entry says of others; nothing if it says nothing.
    pub fn ties(&self, entity: Entity) -> &Ties {
        static NONE: std::sync::OnceLock<Ties> = std::sync::OnceLock::new();
        self.ties
            .get(&entity)
            .unwrap_or_else(|| NONE.get_or_init(Ties::default))
    }
}

impl Links {
    /// The part whose place a part takes in the end, along `replaces`: its own where it replaces none. A chain that bites its tail is not
    /// followed.
    pub fn place_of(&self, part: Handle<Part>) -> Handle<Part> {
        let mut chain = vec![part];
        let mut at = part;
        while let Some(old) = self.replaces.get(&at) {
            if chain.contains(old) {
                return part;
            }
            at = *old;
            chain.push(at);
        }
        at
    }
}

/// An action's rules, bound.
#[derive(Debug, Default)]
pub struct ActionLinks {
    pub sets: Vec<(Handle<State>, usize)>,
}

/// One procedure.
#[derive(Debug)]
pub struct Procedure {
    pub file: FileId,
    pub id: String,
    /// Where the id is written, or the head of the file.
    pub span: Span,
    pub title: String,
    pub about: Option<Name>,
    /// The procedure's own, or the set's.
    pub rev: String,
    pub date: String,
    pub source: String,
    pub tried: bool,
    /// Choices for which there is this card.
    pub only: Vec<Condition>,
    /// The procedures that come first.
    pub after: Vec<ProcedureId>,
    pub intro: Vec<Block>,
    pub messages: Vec<Message>,
    pub phases: Vec<Phase>,
}

impl Procedure {
    /// Steps in written order, with their phase.
    pub fn steps(&self) -> impl Iterator<Item = (&Phase, &Step)> {
        self.phases
            .iter()
            .flat_map(|p| p.runs.iter().flat_map(move |r| r.steps.iter().map(move |s| (p, s))))
    }
}

/// A heading and what stands under it.
#[derive(Debug)]
pub struct Phase {
    /// From 1.
    pub number: usize,
    pub span: Span,
    pub title: Vec<Inline>,
    pub only: Vec<Condition>,
    pub ifs: Vec<Question>,
    pub each: Option<PerMember>,
    pub messages: Vec<Message>,
    pub intro: Vec<Block>,
    pub runs: Vec<Run>,
}

/// Consecutive steps of one list.
#[derive(Debug)]
pub struct Run {
    pub any_order: bool,
    pub steps: Vec<Step>,
}

/// Which step of its procedure one is, as a card prints it: `2.3`. Only the model makes one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StepNumber {
    phase: usize,
    step: usize,
}

impl StepNumber {
    /// By the indices of the phase and of the step in it.
    fn at(phase: usize, step: usize) -> Self {
        StepNumber {
            phase: phase + 1,
            step: step + 1,
        }
    }

    /// The number of its phase.
    pub fn phase(self) -> usize {
        self.phase
    }
}

impl fmt::Display for StepNumber {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{}.{}", self.phase, self.step)
    }
}

/// Read back from what a card prints.
impl FromStr for StepNumber {
    type Err = NoStepNumber;

    fn from_str(text: &str) -> Result<Self, NoStepNumber> {
        let (phase, step) = text.split_once('.').ok_or(NoStepNumber)?;
        let count = |digits: &str| digits.parse::<usize>().ok()?.checked_sub(1);
        match (count(phase), count(step)) {
            (Some(phase), Some(step)) => Ok(StepNumber::at(phase, step)),
            _ => Err(NoStepNumber),
        }
    }
}

/// The text is not of the form `2.3`, with both numbers from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoStepNumber;

/// One step.
#[derive(Debug)]
pub struct Step {
    /// Stable whatever is left out.
    pub number: StepNumber,
    pub span: Span,
    pub only: Vec<Condition>,
    pub ifs: Vec<Question>,
    pub each: Option<PerMember>,
    pub messages: Vec<Message>,
    pub text: Vec<Block>,
    pub acts: Vec<Act>,
    /// True if the sub-steps may be done in any order.
    pub any_order: bool,
    pub substeps: Vec<SubStep>,
}

/// A nested item.
#[derive(Debug)]
pub struct SubStep {
    pub span: Span,
    pub only: Vec<Condition>,
    pub text: Vec<Block>,
    pub acts: Vec<Act>,
}

/// A safety message or note.
#[derive(Debug)]
pub struct Message {
    pub span: Span,
    pub level: Level,
    pub only: Vec<Condition>,
    pub hazard: Vec<Inline>,
    pub consequence: Vec<Block>,
    pub avoid: Vec<Block>,
}

/// A block of prose whose marks are bound; one that could not be has had its finding and is gone.
pub type Block = syntax::Block<Act>;

/// A run of such prose.
pub type Inline = syntax::Inline<Act>;

/// A mark, bound.
#[derive(Debug, Clone, PartialEq)]
pub struct Act {
    pub span: Span,
    pub kind: ActKind,
    /// Position in its group of the member that the mark names (`rings/low`).
    pub member: Option<usize>,
}

/// A thing that goes on and comes off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Item {
    Part(Handle<Part>),
    Temporary(Handle<Temporary>),
}

/// A thing that is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    Tool(Handle<Tool>),
    Consumable(Handle<Consumable>),
    Part(Handle<Part>),
    Temporary(Handle<Temporary>),
}

/// What a mark does, bound to what it points at. State values are indices into the state's `values`.
#[derive(Debug, Clone, PartialEq)]
pub enum ActKind {
    Torque(Handle<Torque>),
    Snug(Handle<Torque>),
    Loosen(Handle<Torque>),
    /// A reading; true for one that is only written down.
    Measure(Handle<Measurement>, bool),
    Fit(Item, Option<u32>),
    Remove(Item, Option<u32>),
    /// A thing, how much of it, and the joint or torque it goes on.
    Use(Thing, Option<Amount>, Option<Onto>),
    Need(Need),
    Set(Handle<State>, usize),
    Do(Handle<Action>),
    Start(Handle<Timer>),
    End(Handle<Timer>),
    Hold(Handle<Hold>),
    Label(Name),
    /// A step of a procedure of the set.
    Step {
        procedure: ProcedureId,
        number: StepNumber,
    },
    See(ProcedureId),
    Time(Duration),
    Only,
    Wait(Handle<Consumable>),
    Mark(Handle<Part>),
    Each,
    If(Question),
    /// Back to a step of this procedure.
    Repeat(StepNumber),
    Stop,
}

/// What a consumable is put on, and which member of its group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Onto {
    pub what: Surface,
    pub member: Option<usize>,
}

/// A joint or fasteners.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Surface {
    Joint(Handle<Joint>),
    Torque(Handle<Torque>),
}
