//! The leaf "While you are there": what must come off, with a box for each act, and what to look at while it lies open.

use super::data::{Bought, Fluid, Later, Line, Open, Reach};
use crate::cards::card::{CardRef, Identity};
use crate::cards::heads;
use crate::fingerprint::{Kind, leaf};
use crate::words::{Phrase, joined, phrase, say};

leaf! {
    /// What must come off to reach some parts, and what else lies open then.
    pub struct ReachSheet {
        /// As on the cards; `procedure` is `reach`.
        says identity: Identity,
        /// The cards that steps are of.
        says cards: Vec<CardRef>,
        /// Names of the parts asked for.
        says parts: Vec<String>,
        says acts: Vec<ActRow>,
        /// Why there is no way; empty where there is one.
        exempt(Argument) stuck: String,
        says time: Phrase,
        says tools: Phrase,
        says new: Vec<NewRow>,
        exempt(Price) total: Phrase,
        says fluids: Vec<FluidRow>,
        /// What wears and lies open.
        says wear: Vec<WearRow>,
        /// Names of what else lies open.
        says open: Vec<String>,
    }
}

impl Kind for ReachSheet {
    const NAME: &'static str = "reach";
}

leaf! {
    /// One act, with a box.
    pub struct ActRow {
        /// `Take off: gear`
        says what: Phrase,
        /// Pieces or fasteners; 1 of what isn't counted.
        says count: usize,
        says time: Phrase,
        /// Number of the card and of the step that does it; empty if none does.
        exempt(Number) at: String,
    }
}

leaf! {
    /// A part that has to be new.
    pub struct NewRow {
        says name: String,
        says number: String,
        says count: usize,
        exempt(Price) price: Phrase,
    }
}

leaf! {
    /// A consumable and what it is for.
    pub struct FluidRow {
        says name: String,
        says amount: Phrase,
    }
}

leaf! {
    /// A part that wears, with a box.
    pub struct WearRow {
        says name: String,
        exempt(Price) price: Phrase,
        /// What it takes to have it off now.
        says now: Phrase,
        /// What it takes another time.
        says later: Phrase,
    }
}

/// The leaf of an answer.
pub fn sheet(mut identity: Identity, cards: Vec<CardRef>, reach: &Reach) -> ReachSheet {
    identity.choices = heads(&reach.choices);
    let (wear, other): (Vec<&Open>, Vec<&Open>) = reach.open.iter().partition(|open| open.wear);
    let tools: Vec<Phrase> = reach.tools.iter().map(|tool| Phrase::from(&tool.name)).collect();
    let tools = match (tools.is_empty(), reach.tools_unknown) {
        (true, 0) => Phrase::default(),
        (true, count) if count == reach.acts.len() => say::reach_unknown(),
        (_, 0) => joined(tools, ", "),
        (_, count) => joined(tools.into_iter().chain([say::reach_no_step(count)]), ", "),
    };
    ReachSheet {
        identity,
        cards,
        parts: reach.parts.iter().map(|part| part.name.clone()).collect(),
        acts: reach.acts.iter().map(act).collect(),
        stuck: reach.stuck.clone().unwrap_or_default(),
        // Where nothing has to be done there is nothing to tell of it.
        time: match reach.acts.is_empty() {
            true => Phrase::default(),
            false => time(reach.time.as_deref(), reach.untimed),
        },
        tools,
        new: reach.new.iter().map(new).collect(),
        total: reach.price.clone().map_or_else(Phrase::default, Phrase::figure),
        fluids: reach.fluids.iter().map(fluid).collect(),
        wear: wear.into_iter().map(worn).collect(),
        open: other.iter().map(|open| open.name.clone()).collect(),
    }
}

fn act(line: &Line) -> ActRow {
    let name = &line.name;
    let what = match (line.act, &line.value) {
        (_, Some(value)) => phrase!(name, ": ", value),
        ("remove", None) => say::reach_remove(name),
        ("loosen", None) => say::reach_loosen(name),
        ("fit", None) => say::reach_fit(name),
        ("measure", None) => say::reach_measure(name),
        _ => name.into(),
    };
    let step = line.step.as_ref();
    ActRow {
        what,
        count: line.count as usize,
        time: line.time.clone().map_or_else(say::reach_unknown, Phrase::figure),
        at: step.map_or_else(String::new, |step| format!("{}: {}", step.card, step.step)),
    }
}

fn time(known: Option<&str>, untimed: usize) -> Phrase {
    match (known, untimed) {
        (Some(time), 0) => Phrase::figure(time),
        (Some(time), count) => say::reach_time_and(Phrase::figure(time), count),
        (None, _) => say::reach_unknown(),
    }
}

fn new(new: &Bought) -> NewRow {
    NewRow {
        name: new.name.clone(),
        number: new.number.clone(),
        count: new.count as usize,
        price: new.price.clone().map_or_else(say::reach_unknown, Phrase::figure),
    }
}

fn fluid(fluid: &Fluid) -> FluidRow {
    FluidRow {
        name: fluid.name.clone(),
        amount: fluid.amount.clone().map_or_else(say::reach_unknown, Phrase::from),
    }
}

fn worn(open: &Open) -> WearRow {
    let later = |later: &Later| say::reach_acts_in(later.acts, time(later.time.as_deref(), later.untimed));
    WearRow {
        name: open.name.clone(),
        price: open.price.clone().map_or_else(say::reach_unknown, Phrase::figure),
        now: match (open.off, open.now) {
            (true, _) => say::reach_off_already(),
            (false, Some(count)) => say::reach_more_now(count),
            (false, None) => say::reach_stays_on(),
        },
        later: open.later.as_ref().map_or_else(Phrase::default, later),
    }
}
