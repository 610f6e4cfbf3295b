//! One tracked thing and everything that touches it, followed through every combination of choices at once.
//!
//! A cell (an item, a torque, a state, a timer) is small and depends on few options, and no act of one cell asks about another: an
//! action's needs are asked in the cells of its states, what it must not meet in the cells of those items. So each cell is followed by
//! itself, as a [diagram](super::diagram) from choices to its state. Where that shows a fault, the fewest choices that bring it about are
//! found, and the cell is walked once more under exactly those to see how things came to be.

use super::diagram::{Diagrams, NEVER, Ref};
use super::fault::{Fault, Since, Wrong};
use crate::check::walk::Event;
use crate::check::walk::guard::{Literal, Variables};
use crate::model::Catalogue;
use crate::source::Span;
use std::collections::BTreeMap;

/// A tracked thing.
pub trait Cell {
    /// Its condition.
    type State: Clone + Ord;
    /// What can happen to it.
    type What;

    fn start(&self) -> Self::State;

    /// The state after something happened, and what is wrong with its happening. After a fault the state is what the author must have
    /// meant, so that one mistake is one finding.
    fn step(&self, state: &Self::State, what: &Self::What, wrong: &mut Vec<Wrong>) -> Self::State;

    /// What is wrong with the set ending in a state.
    fn finish(&self, _state: &Self::State, _wrong: &mut Vec<Wrong>) {}

    /// A state that stands for this one and all that will go on like it.
    fn merged(&self, state: Self::State) -> Self::State {
        state
    }

    /// How a fault came about, given what happened before it: latest last. For a fault that the end shows, the place it is told at.
    fn origin(&self, past: &[&Event<Self::What>], wrong: &Wrong) -> Option<Since>;

    /// A second place of a fault that the end shows.
    fn earlier(&self, _past: &[&Event<Self::What>], _wrong: &Wrong) -> Option<Since> {
        None
    }
}

/// What every cell needs to be followed, and where its faults go.
pub struct Explorer<'a> {
    pub variables: &'a Variables,
    pub catalogue: &'a Catalogue,
    /// Where the set ends.
    pub end: Span,
    pub faults: Vec<Fault>,
    /// Things whose combinations were too many, by where they are declared and what they are called.
    pub unchecked: Vec<(Span, String)>,
    /// Diagram nodes looked at.
    pub visited: usize,
}

/// A class of fault, where it shows (`None`: at the end), and the condition for it.
type Found = (Wrong, Option<usize>, Ref);

impl Explorer<'_> {
    /// Follows one cell. `declared` is where its entry stands.
    pub fn explore<C: Cell>(&mut self, cell: &C, declared: (Span, &str), events: &[Event<C::What>]) {
        let mut diagrams = Diagrams::new(self.variables);
        let found = follow(cell, events, &mut diagrams);
        if found.is_none() {
            self.unchecked.push((declared.0, declared.1.to_string()));
        }
        for (class, at, condition) in found.unwrap_or_default() {
            if let Some(choices) = diagrams.fewest_choices(condition) {
                self.faults
                    .extend(self.fault(cell, declared.0, events, (class, at), choices));
            }
        }
        self.visited += diagrams.visited();
    }

    /// Walks the cell under some choices up to a fault, to tell it in full.
    fn fault<C: Cell>(
        &self,
        cell: &C,
        declared: Span,
        events: &[Event<C::What>],
        (class, at): (Wrong, Option<usize>),
        choices: Vec<Literal>,
    ) -> Option<Fault> {
        let chosen = self.variables.choices(self.catalogue, &choices);
        let mut state = cell.start();
        let mut past = Vec::new();
        let mut wrong = Vec::new();
        for (index, event) in events.iter().enumerate() {
            let here = at == Some(index);
            if !event.guard.holds(self.variables, &chosen) {
                continue;
            }
            wrong.clear();
            let next = cell.step(&state, &event.what, &mut wrong);
            if here {
                let wrong = wrong.into_iter().find(|w| w.class() == class)?;
                let since = cell.origin(&past, &wrong);
                return Some(Fault {
                    wrong,
                    at: event.at,
                    since,
                    end: None,
                    choices,
                });
            }
            state = next;
            past.push(event);
        }
        wrong.clear();
        cell.finish(&state, &mut wrong);
        let wrong = wrong.into_iter().find(|w| w.class() == class)?;
        Some(Fault {
            at: cell.origin(&past, &wrong).map_or(declared, |s| s.at),
            since: cell.earlier(&past, &wrong),
            end: Some(self.end),
            wrong,
            choices,
        })
    }
}

/// Every class of fault with the condition for it; `None` if there are too many combinations to tell.
fn follow<C: Cell>(cell: &C, events: &[Event<C::What>], diagrams: &mut Diagrams) -> Option<Vec<Found>> {
    let mut states = States::default();
    let mut found = Vec::new();
    let mut now = Ref::Leaf(states.number(cell.merged(cell.start())));
    for (index, event) in events.iter().enumerate() {
        let mut faulty: BTreeMap<Wrong, Vec<u32>> = BTreeMap::new();
        let mut wrong = Vec::new();
        let next = diagrams.map(now, &mut |number| {
            let Some(state) = states.get(number) else { return number };
            let next = cell.merged(cell.step(&state, &event.what, &mut wrong));
            for wrong in wrong.drain(..) {
                faulty.entry(wrong.class()).or_default().push(number);
            }
            states.number(next)
        });
        if next == now && faulty.is_empty() {
            continue;
        }
        let guard = diagrams.guard(&event.guard);
        for (class, numbers) in faulty {
            let in_state = diagrams.map(now, &mut |n| u32::from(numbers.contains(&n)));
            let condition = diagrams.and(guard, in_state);
            if condition != NEVER {
                found.push((class, Some(index), condition));
            }
        }
        now = diagrams.select(guard, next, now);
        if diagrams.exhausted() {
            return None;
        }
    }
    let mut faulty: BTreeMap<Wrong, Vec<u32>> = BTreeMap::new();
    let mut wrong = Vec::new();
    for (number, state) in states.all() {
        cell.finish(&state, &mut wrong);
        for wrong in wrong.drain(..) {
            faulty.entry(wrong.class()).or_default().push(number);
        }
    }
    for (class, numbers) in faulty {
        let condition = diagrams.map(now, &mut |n| u32::from(numbers.contains(&n)));
        if condition != NEVER {
            found.push((class, None, condition));
        }
    }
    (!diagrams.exhausted()).then_some(found)
}

/// The states a cell has been in, numbered.
struct States<S> {
    numbers: BTreeMap<S, u32>,
    states: Vec<S>,
}

impl<S> Default for States<S> {
    fn default() -> Self {
        States {
            numbers: BTreeMap::new(),
            states: Vec::new(),
        }
    }
}

impl<S: Clone + Ord> States<S> {
    fn number(&mut self, state: S) -> u32 {
        if let Some(number) = self.numbers.get(&state) {
            return *number;
        }
        let number = self.states.len() as u32;
        self.numbers.insert(state.clone(), number);
        self.states.push(state);
        number
    }

    fn get(&self, number: u32) -> Option<S> {
        self.states.get(number as usize).cloned()
    }

    fn all(&self) -> impl Iterator<Item = (u32, S)> {
        self.states
            .iter()
            .cloned()
            .zip(0..)
            .map(|(state, number)| (number, state))
    }
}
