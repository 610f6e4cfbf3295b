//! Every box there is to fill in on one card for some choices.

use super::read::Filled;
use crate::cards::members::{named, of_mark};
use crate::check::calc::grid;
use crate::check::walk::{Flow, Happened, OnFastener, OnItem, OnTimer, Place, What, play};
use crate::domain::calc::Grid;
use crate::model::registers::{Consumable, Hold, Measurement, Part, Timer, Torque};
use crate::model::ties::PerMember;
use crate::model::{Choices, Handle, Item, Phase, ProcedureId, Set, Step, StepNumber};

/// The boxes of one card.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    pub procedure: ProcedureId,
    /// Options that the card depends on, as chosen.
    pub choices: Vec<(String, String)>,
    pub readings: Vec<ReadingBox>,
    pub torques: Vec<TorqueBox>,
    pub timers: Vec<TimerBox>,
    pub holds: Vec<HoldBox>,
    /// Waits for what cures, which have no boxes: nothing of them is measured.
    pub cures: Vec<(Handle<Consumable>, StepNumber)>,
    /// Parts that go on and weren't on the machine at the start.
    pub parts: Vec<(Handle<Part>, u32)>,
}

/// A measurement in one step.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingBox {
    pub limit: Handle<Measurement>,
    pub step: StepNumber,
    /// The member of a group that it is of; empty where there is one for all.
    pub member: String,
    pub places: Grid,
}

/// A tightening in one step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TorqueBox {
    pub torque: Handle<Torque>,
    pub step: StepNumber,
    /// The member of a group that it is of; empty where there is one for all.
    pub member: String,
}

/// One run of a timer: the steps that start and end it; `None` on another card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimerBox {
    pub timer: Handle<Timer>,
    pub start: Option<StepNumber>,
    pub end: Option<StepNumber>,
}

/// A hold point.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoldBox {
    pub hold: Handle<Hold>,
    pub step: StepNumber,
}

/// The form of a procedure of a set.
pub fn form(set: &Set, procedure: ProcedureId, choices: &Choices) -> Form {
    let mut form = Form {
        procedure,
        choices: crate::cards::chosen(set, procedure, choices)
            .into_iter()
            .map(|c| (c.option, c.value))
            .collect(),
        readings: Vec::new(),
        torques: Vec::new(),
        timers: Vec::new(),
        holds: Vec::new(),
        cures: Vec::new(),
        parts: Vec::new(),
    };
    for done in play(&Flow::new(set), choices).card(procedure) {
        let each = each_of(set, procedure, done.step);
        for event in &done.events {
            let mut acts = done
                .step
                .acts
                .iter()
                .chain(done.step.substeps.iter().flat_map(|sub| &sub.acts));
            let act = acts.find(|act| act.span == event.at.span);
            let members = act.map_or_else(Vec::new, |act| match named(set, act) {
                Some(member) => vec![member],
                None => of_mark(set, each, act).0,
            });
            form.event(set, event, &members);
        }
    }
    form
}

/// The group whose members a step is done for: its own, or that of its heading.
fn each_of(set: &Set, procedure: ProcedureId, step: &Step) -> Option<PerMember> {
    let of = |phase: &&Phase| {
        let steps = phase.runs.iter().flat_map(|run| &run.steps);
        steps.into_iter().any(|other| other.number == step.number)
    };
    let phase = set.procedures[procedure].phases.iter().find(of);
    step.each.or(phase.and_then(|phase| phase.each))
}

/// The form that a record was begun with.
pub fn form_of(set: &Set, filled: &Filled) -> Result<Form, String> {
    let id = filled.text("procedure");
    let procedure = set.procedures.find(id);
    let procedure = procedure.ok_or_else(|| format!("{} has no procedure `{id}`", set.title))?;
    let mut choices = Choices::defaults(&set.catalogue);
    for (option, value) in &filled.options {
        match choices.choose(&set.catalogue, option, &value.text) {
            Ok(true) => {}
            Ok(false) => return Err(format!("{} has no option `{option}`", set.title)),
            Err(fault) => {
                let values = fault.values.join(", ");
                return Err(format!("option `{option}` takes {values}, not `{}`", value.text));
            }
        }
    }
    Ok(form(set, procedure, &choices))
}

impl Form {
    /// `members`: those that the mark is for; none where it is for one thing.
    fn event(&mut self, set: &Set, event: &Happened, members: &[String]) {
        let step = event.at.step;
        let once = [String::new()];
        let members = if members.is_empty() { &once } else { members };
        match event.what {
            What::Measure(limit) => self.readings.extend(members.iter().map(|member| ReadingBox {
                limit,
                step,
                member: member.clone(),
                places: grid(&set.catalogue.limits[limit]),
            })),
            What::Fastener(torque, OnFastener::Torque) => self.torques.extend(members.iter().map(|member| TorqueBox {
                torque,
                step,
                member: member.clone(),
            })),
            What::Hold(hold) => self.holds.push(HoldBox { hold, step }),
            What::Wait(consumable) => self.cures.push((consumable, step)),
            What::Timer(timer, OnTimer::Start) => self.timers.push(TimerBox {
                timer,
                start: Some(step),
                end: None,
            }),
            What::Timer(timer, OnTimer::End) => self.end(timer, event.started, step),
            What::Item(Item::Part(part), OnItem::Fit(count)) if event.what.fits_new(set) => self.part(part, count),
            What::Item(..)
            | What::Fastener(_, OnFastener::Loosen | OnFastener::Snug)
            | What::State(..)
            | What::Use(..)
            | What::Do(_)
            | What::Work(_)
            | What::Look(_)
            | What::Spread(..) => {}
        }
    }

    /// Ends the run of a timer that was started here, or tells of one that runs since another card.
    fn end(&mut self, timer: Handle<Timer>, started: Option<Place>, step: StepNumber) {
        let here = started.filter(|at| at.procedure == self.procedure);
        let open = |run: &&mut TimerBox| run.timer == timer && run.end.is_none();
        match here.and_then(|_| self.timers.iter_mut().rev().find(open)) {
            Some(run) => run.end = Some(step),
            None => self.timers.push(TimerBox {
                timer,
                start: None,
                end: Some(step),
            }),
        }
    }

    fn part(&mut self, part: Handle<Part>, count: u32) {
        match self.parts.iter_mut().find(|(p, _)| *p == part) {
            Some((_, sum)) => *sum = sum.saturating_add(count),
            None => self.parts.push((part, count)),
        }
    }
}
