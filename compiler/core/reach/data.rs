//! Answers about reaching parts as plain data. Every text is ready to print; what isn't known is `None`, never nought.

use crate::cards::card::Choice;
use crate::kit::StepRef;
use serde::Serialize;

/// What must come off to reach some parts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reach {
    /// Folder name of the set.
    pub set: String,
    pub title: String,
    pub machine: String,
    /// Every option of the set, as chosen.
    pub choices: Vec<Choice>,
    /// The parts asked for.
    pub parts: Vec<Named>,
    /// What has to be done, in an order that works; the parts themselves come off too. Empty where there is no way.
    pub acts: Vec<Line>,
    /// False where there were too many ways to be sure that none takes less.
    pub least: bool,
    /// Why there is no way, as a sentence without its full stop.
    pub stuck: Option<String>,
    /// What has to be new, because what came off is for single use.
    pub new: Vec<Bought>,
    /// Sum of the prices of what has to be new; `None` if one isn't known or they can't be added.
    pub price: Option<String>,
    /// What is poured, spread or smeared on the way, or to close up again.
    pub fluids: Vec<Fluid>,
    /// Tools that the steps name which do these acts.
    pub tools: Vec<Named>,
    /// How many acts no step does, so that nobody knows their tools.
    pub tools_unknown: usize,
    /// Hands-on time of the steps that do these acts, as far as they say one.
    pub time: Option<String>,
    pub seconds: Option<u64>,
    /// How many acts no step does that says a time.
    pub untimed: usize,
    /// Parts that lie open then and didn't before, or came off anyway and wear: those that wear first.
    pub open: Vec<Open>,
}

/// An entry by its id and name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Named {
    pub id: String,
    pub name: String,
}

/// One act.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// `remove`, `loosen`, `fit`, `do`, `set` or `measure`.
    pub act: &'static str,
    /// With its member where there are several: `rings/low`.
    pub id: String,
    pub name: String,
    /// Of `set`: the value.
    pub value: Option<String>,
    /// Pieces, or fasteners; 1 of what isn't counted.
    pub count: u32,
    /// True of a part that was asked for.
    pub wanted: bool,
    /// The step that does it, if one does.
    pub step: Option<StepRef>,
    /// Time of that step, which may do more than this.
    pub time: Option<String>,
    /// Tools that the step names; `None` if no step does it.
    pub tools: Option<Vec<String>>,
}

/// A part that has to be new.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bought {
    pub id: String,
    pub name: String,
    pub number: String,
    pub count: u32,
    /// Of all of it.
    pub price: Option<String>,
}

/// A consumable.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fluid {
    pub id: String,
    pub name: String,
    /// As the steps say it.
    pub amount: Option<String>,
    /// What it is for: a joint or torque that is opened, or the act that uses it.
    pub on: String,
}

/// A part that lies open.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Open {
    pub id: String,
    pub name: String,
    /// It wears: worth a look while it lies open.
    pub wear: bool,
    /// It comes off on the way.
    pub off: bool,
    /// Of a new one.
    pub price: Option<String>,
    /// How many more acts it takes to have it off now; `None` if there is no way or it isn't worn by work.
    pub now: Option<usize>,
    /// What it takes to get there another time.
    pub later: Option<Later>,
}

/// Work for another time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Later {
    pub acts: usize,
    pub time: Option<String>,
    /// How many of the acts have no time.
    pub untimed: usize,
}

/// What the steps never reach for some choices.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Scope {
    pub set: String,
    pub title: String,
    pub machine: String,
    pub choices: Vec<Choice>,
    /// How many parts there are for these choices.
    pub parts: usize,
    /// Those that no step touches, and that never lie open.
    pub not_reached: Vec<Named>,
}
