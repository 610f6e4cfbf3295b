//! A set as one line of steps: procedures in the set's order, steps and acts as written.
//!
//! Steps that may be done in any order are walked as written; that their order does not matter is a rule of its own. Marks that point
//! at a step or procedure (`[step …]`, `[see …]`) are not followed.

use super::guard::{Guard, Variables};
use crate::model::registers::{State, Timer, Torque};
use crate::model::{Act, ActKind, Handle, Item, Phase, Set, Step};
use crate::source::Span;
use std::collections::BTreeMap;

/// A set's steps in walking order.
#[derive(Debug)]
pub struct Flow<'a> {
    pub variables: Variables,
    pub stops: Vec<Stop<'a>>,
    /// Where each thing is touched: position of the stop and of the deed in it, in order. Without it every cell would read the whole
    /// set, and a set of a thousand procedures has thousands of cells.
    touches: BTreeMap<Touched, Vec<(usize, usize)>>,
}

/// A thing that acts touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Touched {
    /// Fitted, removed, or forbidden to an action.
    Item(Item),
    Torque(Handle<Torque>),
    /// Set, needed, or set or needed by an action.
    State(Handle<State>),
    Timer(Handle<Timer>),
    /// Some part that is not on the machine at the start is fitted.
    NewPart,
}

/// One step on the way.
#[derive(Debug)]
pub struct Stop<'a> {
    /// Position of the procedure in the set.
    pub procedure: usize,
    pub phase: &'a Phase,
    pub step: &'a Step,
    pub guard: Guard,
    /// The boundary that is crossed to get here, if this is the first step of its phase.
    pub begins: Option<Begins>,
    /// Position of the list the step stands in, in its phase.
    pub run: usize,
    pub any_order: bool,
    /// What is done, sub-steps included, as written.
    pub deeds: Vec<Deed<'a>>,
}

/// A boundary between steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Begins {
    Phase,
    Procedure,
}

/// An act with its condition.
#[derive(Debug)]
pub struct Deed<'a> {
    pub guard: Guard,
    pub act: &'a Act,
}

impl<'a> Flow<'a> {
    pub fn new(set: &'a Set) -> Flow<'a> {
        let variables = Variables::new(&set.catalogue);
        let mut stops = Vec::new();
        for (procedure, card) in set.procedures.iter().enumerate() {
            let mut first_of_card = true;
            for phase in &card.phases {
                let of_phase = Guard::default().and(&variables, &phase.only);
                let mut first_of_phase = true;
                for (run, steps) in phase.runs.iter().enumerate() {
                    for step in &steps.steps {
                        let guard = of_phase.and(&variables, &step.only);
                        let begins = match (first_of_card, first_of_phase) {
                            (true, _) => Some(Begins::Procedure),
                            (false, true) => Some(Begins::Phase),
                            (false, false) => None,
                        };
                        (first_of_card, first_of_phase) = (false, false);
                        stops.push(Stop {
                            procedure,
                            phase,
                            step,
                            begins,
                            run,
                            any_order: steps.any_order,
                            deeds: deeds(step, &guard, &variables),
                            guard,
                        });
                    }
                }
            }
        }
        let touches = touches(set, &stops);
        Flow {
            variables,
            stops,
            touches,
        }
    }

    /// Every act that touches one of some things, with its condition, in order.
    pub fn touching(&self, things: impl IntoIterator<Item = Touched>) -> Vec<&Deed<'a>> {
        let mut places: Vec<(usize, usize)> = Vec::new();
        for thing in things {
            places.extend(self.touches.get(&thing).into_iter().flatten());
        }
        places.sort_unstable();
        places.dedup();
        places
            .into_iter()
            .filter_map(|(stop, deed)| self.stops.get(stop)?.deeds.get(deed))
            .collect()
    }

    /// The stops from the first that touches a thing on; none if nothing touches it.
    pub fn since_touched(&self, thing: Touched) -> &[Stop<'a>] {
        let first = self.touches.get(&thing).and_then(|places| places.first());
        first.and_then(|(stop, _)| self.stops.get(*stop..)).unwrap_or_default()
    }

    /// The condition under which the phase of a stop is there at all.
    pub fn phase_guard(&self, stop: &Stop) -> Guard {
        Guard::default().and(&self.variables, &stop.phase.only)
    }

    /// Where the set ends: its last step.
    pub fn end(&self) -> Option<Span> {
        self.stops.last().map(|s| s.step.span)
    }
}

fn touches(set: &Set, stops: &[Stop]) -> BTreeMap<Touched, Vec<(usize, usize)>> {
    let mut touches: BTreeMap<Touched, Vec<(usize, usize)>> = BTreeMap::new();
    for (s, stop) in stops.iter().enumerate() {
        for (d, deed) in stop.deeds.iter().enumerate() {
            let mut touch = |thing| touches.entry(thing).or_default().push((s, d));
            match &deed.act.kind {
                ActKind::Fit(item, _) => {
                    touch(Touched::Item(*item));
                    if matches!(item, Item::Part(part) if !set.catalogue.parts[*part].fitted) {
                        touch(Touched::NewPart);
                    }
                }
                ActKind::Remove(item, _) => touch(Touched::Item(*item)),
                ActKind::Torque(torque) | ActKind::Snug(torque) | ActKind::Loosen(torque) => {
                    touch(Touched::Torque(*torque));
                }
                ActKind::Need(state, _) | ActKind::Set(state, _) => touch(Touched::State(*state)),
                ActKind::Start(timer) | ActKind::End(timer) => touch(Touched::Timer(*timer)),
                ActKind::Do(action) => {
                    let Some(links) = set.links.actions.get(action) else {
                        continue;
                    };
                    links
                        .never_with
                        .iter()
                        .for_each(|t| touch(Touched::Item(Item::Temporary(*t))));
                    links
                        .needs
                        .iter()
                        .chain(&links.sets)
                        .for_each(|(state, _)| touch(Touched::State(*state)));
                }
                ActKind::Measure(_)
                | ActKind::Use(..)
                | ActKind::Hold(_)
                | ActKind::Label(_)
                | ActKind::Step { .. }
                | ActKind::See(_)
                | ActKind::Time(_)
                | ActKind::Only => {}
            }
        }
    }
    touches
}

fn deeds<'a>(step: &'a Step, guard: &Guard, variables: &Variables) -> Vec<Deed<'a>> {
    let mut deeds: Vec<Deed> = step
        .acts
        .iter()
        .map(|act| Deed {
            guard: guard.clone(),
            act,
        })
        .collect();
    for sub in &step.substeps {
        let guard = guard.and(variables, &sub.only);
        deeds.extend(sub.acts.iter().map(|act| Deed {
            guard: guard.clone(),
            act,
        }));
    }
    deeds
}
