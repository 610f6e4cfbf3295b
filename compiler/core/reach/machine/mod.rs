//! The registers of a set as a problem: what can be taken off, loosened, set and done, and what each of these asks. It asks what the walk over
//! the steps judges, and of that only what bears on the order of work.

mod apart;
mod asks;
mod helpers;
mod together;

use super::price::Prices;
use super::problem::{Act, Clause, Literal, Problem, bit};

use crate::check::machine::{Node, Shape};
use crate::model::registers::State;
use crate::model::ties::{Need, Ties};
use crate::model::{Choices, Entity, Handle, handle};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Something whose standing counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    /// A place, by its first part: 1 while what sits there is on.
    Seat(Node),
    /// A temporary item: 1 while it is on.
    Temporary(Node),
    /// [`TIGHT`], [`LOOSE`] or [`OUT`].
    Grip(Node),
    /// 0 while unknown, else a value's index and one more.
    State(Node),
    /// 1 while a limit is measured, or an action done, and nothing that it stands on has been touched.
    Valid(Node),
    /// 1 while a joint holds what is no part.
    Filled(Node),
    /// 1 while what is in a joint is hard.
    Hard(Node),
    /// 1 while its lubricant is on a torque.
    Wet(Node),
}

pub const TIGHT: u8 = 0;
pub const LOOSE: u8 = 1;
pub const OUT: u8 = 2;

/// What an act does.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Deed {
    /// All that sits in a place comes off.
    Remove(Node),
    Loosen(Node),
    /// A temporary item goes on.
    Put(Node),
    /// It comes off.
    Take(Node),
    Do(Entity),
    /// A state is set, for every member.
    Set(Entity, usize),
    Measure(Node),
    /// A part goes on.
    Fit(Node),
    Tighten(Node),
    /// A consumable goes on a joint or on fasteners.
    Spread(Entity, Node),
    /// A consumable is waited for.
    Wait(Entity),
}

type Field = for<'t> fn(&'t Ties) -> &'t [Need];

/// The machine for some choices, and what can be done with it.
pub struct Machine<'a> {
    pub shape: &'a Shape<'a>,
    choices: &'a Choices,
    index: BTreeMap<Thing, usize>,
    things: Vec<Thing>,
    /// How things stand before the first act, where that isn't as the registers say.
    before: BTreeMap<Thing, u8>,
    /// By place: what sits there while it is full.
    sitting: BTreeMap<Node, Vec<Node>>,
    /// By act, what it does.
    pub deeds: Vec<Deed>,
    pub problem: Problem,
}

impl<'a> Machine<'a> {
    pub(super) fn new(shape: &'a Shape<'a>, choices: &'a Choices) -> Machine<'a> {
        let mut machine = Machine {
            shape,
            choices,
            index: BTreeMap::new(),
            things: Vec::new(),
            before: BTreeMap::new(),
            sitting: BTreeMap::new(),
            deeds: Vec::new(),
            problem: Problem::default(),
        };
        for place in &shape.places {
            let fitted = |node: &&Node| shape.part(**node).is_some_and(|part| part.fitted);
            let on = place.parts.iter().filter(fitted).copied();
            let on: Vec<Node> = on.filter(|node| there(shape, choices, node.entity)).collect();
            if let Some(seat) = place.parts.first() {
                machine.sitting.insert(*seat, on);
            }
        }
        machine
    }

    /// As it stands at the start, to be taken apart.
    pub fn apart(shape: &'a Shape<'a>, choices: &'a Choices, prices: &Prices) -> Machine<'a> {
        let mut machine = Machine::new(shape, choices);
        for seat in machine.seats() {
            machine.removal(seat, prices);
        }
        for torque in machine.torques() {
            if machine.first(Thing::Grip(torque)) == TIGHT {
                machine.loosening(torque);
            }
        }
        machine.helpers();
        machine
    }

    /// The act that takes each seat's part off, by the seat.
    pub fn removals(&self) -> BTreeMap<Node, usize> {
        let acts = self.deeds.iter().enumerate();
        let removals = acts.filter_map(|(act, deed)| {
            let Deed::Remove(seat) = deed else { return None };
            Some((*seat, act))
        });
        removals.collect()
    }

    /// As some acts left it, to be put together: `back` has what goes on again, by its place, and `fillings` what goes into a joint.
    pub fn together(
        shape: &'a Shape<'a>,
        choices: &'a Choices,
        before: BTreeMap<Thing, u8>,
        back: &BTreeMap<Node, Node>,
        fillings: &BTreeMap<Node, Entity>,
    ) -> Machine<'a> {
        let mut machine = Machine::new(shape, choices);
        machine.before = before;
        for (seat, node) in back {
            machine.sitting.insert(*seat, vec![*node]);
        }
        for (seat, node) in back {
            machine.fitting(*seat, *node, fillings);
        }
        for torque in machine.torques() {
            if machine.first(Thing::Grip(torque)) != TIGHT {
                machine.tightening(torque, fillings);
            }
        }
        for (joint, consumable) in fillings {
            machine.filling(*joint, *consumable, fillings);
        }
        machine.helpers();
        machine
    }

    pub fn seats(&self) -> Vec<Node> {
        let full = self.sitting.iter().filter(|(_, on)| !on.is_empty());
        full.map(|(seat, _)| *seat).collect()
    }

    pub fn torques(&self) -> Vec<Node> {
        let all = self.shape.torques().into_iter();
        all.filter(|torque| self.there(torque.entity)).collect()
    }

    /// What sits in a place while it is full.
    pub fn sits(&self, seat: Node) -> &[Node] {
        self.sitting.get(&seat).map_or(&[], Vec::as_slice)
    }

    pub fn there(&self, entity: Entity) -> bool {
        there(self.shape, self.choices, entity)
    }

    pub(super) fn any_there(&self, seat: Node) -> bool {
        match self.shape.place(seat) {
            Some(place) => place.parts.iter().any(|part| self.there(part.entity)),
            None => self.there(seat.entity),
        }
    }

    // Things.

    pub(super) fn variable(&mut self, thing: Thing) -> usize {
        if let Some(known) = self.index.get(&thing) {
            return *known;
        }
        let way = self.first(thing);
        let number = self.things.len();
        self.index.insert(thing, number);
        self.things.push(thing);
        self.problem.start.push(way);
        number
    }

    pub(super) fn is(&mut self, thing: Thing, way: u8) -> Literal {
        Literal::is(self.variable(thing), way)
    }

    pub(super) fn not(&mut self, thing: Thing, way: u8) -> Literal {
        Literal {
            variable: self.variable(thing),
            ways: !bit(way),
        }
    }

    /// How something stands before the first act.
    pub fn first(&self, thing: Thing) -> u8 {
        if let Some(way) = self.before.get(&thing) {
            return *way;
        }
        let empty = |seat: &Node| {
            let fitted = |node: &&Node| self.shape.part(**node).is_some_and(|part| part.fitted);
            let parts = self.shape.place(*seat).map_or(&[][..], |place| &place.parts);
            !parts.iter().filter(fitted).any(|node| self.there(node.entity))
        };
        let grip = |torque: Node| {
            let held = self.shape.holds(torque);
            let own = self.shape.fastener_part(torque);
            let nothing = match held.is_empty() {
                true => own.iter().any(empty),
                false => held.iter().any(empty),
            };
            if nothing { OUT } else { TIGHT }
        };
        match thing {
            Thing::Seat(seat) => u8::from(!empty(&seat)),
            Thing::Temporary(_) | Thing::Valid(_) => 0,
            Thing::Grip(torque) => grip(torque),
            Thing::State(node) => {
                let state: Option<Handle<State>> = handle(node.entity);
                let entry = state.map(|state| &self.shape.set.catalogue.states[state]);
                let start = entry.and_then(|entry| {
                    let start = entry.start.as_ref()?;
                    entry.values.iter().position(|value| value.text == start.text)
                });
                start.map_or(0, value)
            }
            Thing::Filled(joint) => {
                let places = self.shape.joint(joint).map_or(&[][..], |joint| &joint.places);
                u8::from(places.iter().all(empty))
            }
            Thing::Hard(_) => 1,
            Thing::Wet(torque) => u8::from(grip(torque) != OUT),
        }
    }

    /// How everything that counts stands after some acts.
    pub fn after(&self, acts: &[usize]) -> BTreeMap<Thing, u8> {
        let mut standing = self.problem.start.clone();
        for act in acts.iter().filter_map(|act| self.problem.acts.get(*act)) {
            standing = act.done(&standing);
        }
        let mut all = self.before.clone();
        all.extend(self.things.iter().copied().zip(standing));
        all
    }

    /// The thing of a variable.
    pub fn thing(&self, variable: usize) -> Option<Thing> {
        self.things.get(variable).copied()
    }

    // What is brought about.

    pub(super) fn touched(&mut self, seat: Node, brings: &mut Vec<(usize, u8)>) {
        for dependent in self.shape.dependents(seat).to_vec() {
            brings.push((self.variable(Thing::Valid(dependent)), 0));
        }
    }

    pub(super) fn opens(&mut self, seat: Node, brings: &mut Vec<(usize, u8)>) {
        for joint in self.shape.joints_of(seat).to_vec() {
            self.touched(joint, brings);
            let closes = self
                .shape
                .joint(joint)
                .is_some_and(|joint| joint.closers.contains(&seat));
            if closes {
                brings.push((self.variable(Thing::Filled(joint)), 0));
                brings.push((self.variable(Thing::Hard(joint)), 0));
            }
        }
    }

    pub(super) fn add(&mut self, deed: Deed, mut asks: Vec<Clause>, brings: Vec<(usize, u8)>, price: Decimal) {
        let mut seen = Vec::new();
        asks.retain(|clause| {
            let new = !seen.contains(clause);
            seen.push(clause.clone());
            new
        });
        self.deeds.push(deed);
        self.problem.acts.push(Act { asks, brings, price });
    }

    // What is wanted.

    /// Asks for a thing to stand some way in the end.
    pub fn want(&mut self, thing: Thing, way: u8) {
        let clause = vec![self.is(thing, way)];
        self.problem.goal.push(clause);
    }

    pub fn wants(&mut self, clauses: Vec<Clause>) {
        self.problem.goal.extend(clauses);
    }
}

/// How a state stands at a value, by the value's index.
pub fn value(index: usize) -> u8 {
    u8::try_from(index + 1).unwrap_or(u8::MAX)
}

pub fn cures(shape: &Shape, consumable: Entity) -> bool {
    let consumable = handle(consumable);
    let entry = consumable.map(|consumable| &shape.set.catalogue.consumables[consumable]);
    entry.is_some_and(|entry| entry.cure.is_some())
}

fn needs(ties: &Ties) -> &[Need] {
    &ties.needs
}

/// True if an entry is there for some choices: they meet all that it is there for, and every option asked for is there itself.
pub fn there(shape: &Shape, choices: &Choices, entity: Entity) -> bool {
    pub(super) fn within(shape: &Shape, choices: &Choices, entity: Entity, under_way: &mut Vec<Entity>) -> bool {
        // Options that are asked for only where the other is stand in a circle: they are then there.
        if under_way.contains(&entity) {
            return true;
        }
        under_way.push(entity);
        let mut only = shape.ties(entity).only.iter();
        let all = only
            .all(|condition| choices.meets(condition) && within(shape, choices, condition.option.entity(), under_way));
        under_way.pop();
        all
    }
    within(shape, choices, entity, &mut Vec::new())
}
