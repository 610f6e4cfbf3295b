//! A set as one line of steps: procedures in the set's order, steps and acts as written.
//!
//! Steps that may be done in any order are walked as written; that their order does not matter is a rule of its own. Marks that point
//! at a step or procedure (`[step …]`, `[see …]`) are not followed.

use super::event::{Event, Touched, happens};
use super::guard::{Guard, Variables};
use crate::model::{Act, Choices, Condition, Phase, Set, Step};
use crate::source::Span;
use std::collections::BTreeMap;

/// A set's steps in walking order.
#[derive(Debug)]
pub struct Flow<'a> {
    pub set: &'a Set,
    pub variables: Variables,
    pub stops: Vec<Stop<'a>>,
    /// Where each thing is touched: position of the stop and of the event in it, in order. Without it every cell would read the whole
    /// set, and a set of a thousand procedures has thousands of cells.
    touches: BTreeMap<Touched, Vec<Position>>,
    /// Where parts go on that are not on the machine at the start.
    new_parts: Vec<Position>,
}

/// Of a stop, and of an event in it.
type Position = (usize, usize);

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
    /// What happens, sub-steps included, as written.
    pub events: Vec<Event<'a>>,
}

impl<'a> Stop<'a> {
    /// The conditions of its phase and step that some choices don't meet; none: the step is done.
    pub fn unmet<'c>(&self, choices: &'c Choices) -> impl Iterator<Item = &'a Condition> + use<'a, 'c> {
        let all = self.phase.only.iter().chain(&self.step.only);
        all.filter(|condition| !choices.meets(condition))
    }

    /// The same of one of its events, with the condition of its sub-step.
    pub fn unmet_of<'c>(
        &self,
        event: &Event<'a>,
        choices: &'c Choices,
    ) -> impl Iterator<Item = &'a Condition> + use<'a, 'c> {
        let own = event.only.iter().filter(|condition| !choices.meets(condition));
        self.unmet(choices).chain(own)
    }
}

/// A boundary between steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Begins {
    Phase,
    Procedure,
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
                            events: events(set, step, &guard, &variables),
                            guard,
                        });
                    }
                }
            }
        }
        let mut flow = Flow {
            set,
            variables,
            stops,
            touches: BTreeMap::new(),
            new_parts: Vec::new(),
        };
        flow.index();
        flow
    }

    fn index(&mut self) {
        for (s, stop) in self.stops.iter().enumerate() {
            for (e, event) in stop.events.iter().enumerate() {
                if let Some((thing, _)) = event.what.touches() {
                    self.touches.entry(thing).or_default().push((s, e));
                }
                if event.what.fits_new(self.set) {
                    self.new_parts.push((s, e));
                }
            }
        }
    }

    /// Every event that touches one of some things, in order.
    pub fn touching(&self, things: impl IntoIterator<Item = Touched>) -> Vec<&Event<'a>> {
        let touches = |thing| self.touches.get(&thing).into_iter().flatten();
        self.at(things.into_iter().flat_map(touches).copied().collect())
    }

    /// Every event that touches a thing or puts a part on that is not on the machine at the start, in order.
    pub fn touching_or_new(&self, thing: Touched) -> Vec<&Event<'a>> {
        let touches = self.touches.get(&thing).into_iter().flatten();
        self.at(touches.chain(&self.new_parts).copied().collect())
    }

    fn at(&self, mut positions: Vec<Position>) -> Vec<&Event<'a>> {
        positions.sort_unstable();
        positions.dedup();
        let event = |(stop, event): Position| self.stops.get(stop)?.events.get(event);
        positions.into_iter().filter_map(event).collect()
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

fn events<'a>(set: &Set, step: &'a Step, guard: &Guard, variables: &Variables) -> Vec<Event<'a>> {
    let mut events = Vec::new();
    let mut add = |act: &'a Act, guard: &Guard, only: &'a [Condition]| {
        happens(set, &act.kind, |what| {
            events.push(Event {
                guard: guard.clone(),
                only,
                at: act.span,
                what,
            });
        });
    };
    step.acts.iter().for_each(|act| add(act, guard, &[]));
    for sub in &step.substeps {
        let guard = guard.and(variables, &sub.only);
        sub.acts.iter().for_each(|act| add(act, &guard, &sub.only));
    }
    events
}
