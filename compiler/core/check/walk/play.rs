//! The walk played once under one combination of choices: every event that happens, with its place and what it leads to.
//!
//! Counts are kept here and nowhere else. Where a set has faults they follow the marks as far as that makes sense: no more are on than
//! there are, and none come off that aren't on.

use super::event::{Event, OnItem, OnTimer, What, at_start, whole};
use super::flow::{Flow, Stop};
use super::joints::Joints;
use crate::model::registers::{Consumable, Part, Timer};
use crate::model::{Choices, Each, Handle, Item, ProcedureId, Set, Step, StepNumber, Thing};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// A step, for pointing at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    pub procedure: ProcedureId,
    pub step: StepNumber,
    /// The mark.
    pub span: Span,
}

/// An event that happened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Happened<'a> {
    pub at: Place,
    /// Position in its group of the one member that the mark names.
    pub member: Option<usize>,
    pub what: What<'a>,
    /// How many of its item are on after it; 0 of what is no item.
    pub on: u32,
    /// Where the timer was started that it ends, or closed what it waits for to cure; `None` if none ran, or there is nothing.
    pub started: Option<Place>,
}

/// A step that was done.
#[derive(Debug)]
pub struct Done<'a> {
    pub step: &'a Step,
    /// True for the last of these steps in its phase.
    pub ends_phase: bool,
    /// True if it is done only where a reading is out, or a case is so: what it does is then no part of how things stand after it.
    pub aside: bool,
    /// What stays open only for a while, and is on a joint that isn't closed when the step is done.
    pub open: BTreeSet<Handle<Consumable>>,
    /// In written order, sub-steps included.
    pub events: Vec<Happened<'a>>,
}

/// Of the same step, and the same happens.
impl PartialEq for Done<'_> {
    fn eq(&self, other: &Done) -> bool {
        let Done {
            step,
            ends_phase,
            aside,
            open,
            events,
        } = self;
        std::ptr::eq(*step, other.step)
            && *ends_phase == other.ends_phase
            && *aside == other.aside
            && *open == other.open
            && *events == other.events
    }
}

/// A set played under one combination of choices.
#[derive(Debug)]
pub struct Played<'a> {
    pub set: &'a Set,
    /// The steps of each procedure that the choices keep.
    pub cards: Each<Vec<Done<'a>>>,
    /// Parts that aren't there for the choices.
    pub absent: BTreeSet<Handle<Part>>,
}

impl<'a> Played<'a> {
    /// Every event, in order.
    pub fn events(&self) -> impl Iterator<Item = &Happened<'a>> {
        self.cards.iter().flatten().flat_map(|done| &done.events)
    }

    /// Every event that happens whatever readings and cases turn out to be, in order.
    pub fn usual(&self) -> impl Iterator<Item = &Happened<'a>> {
        let usual = self.cards.iter().flatten().filter(|done| !done.aside);
        usual.flat_map(|done| &done.events)
    }

    /// The steps of a procedure that were done.
    pub fn card(&self, procedure: ProcedureId) -> &[Done<'a>] {
        self.cards.of(procedure).map_or(&[], Vec::as_slice)
    }
}

/// Plays a set under some choices.
pub fn play<'a>(flow: &Flow<'a>, choices: &Choices) -> Played<'a> {
    let set = flow.set;
    let mut counts = Counts {
        set,
        items: BTreeMap::new(),
        running: BTreeMap::new(),
        joints: Joints::default(),
    };
    let mut cards: Each<Vec<Done>> = set.procedures.iter().map(|_| Vec::new()).collect();
    let mut kept = flow
        .stops
        .iter()
        .filter(|stop| stop.unmet(choices).next().is_none())
        .peekable();
    while let Some(stop) = kept.next() {
        let same_phase = |next: &&Stop| (next.procedure, next.phase.number) == (stop.procedure, stop.phase.number);
        let (events, open) = counts.step(stop, choices);
        let done = Done {
            step: stop.step,
            ends_phase: !kept.peek().is_some_and(same_phase),
            aside: stop.aside,
            events,
            open,
        };
        if let Some(card) = cards.of_mut(stop.procedure) {
            card.push(done);
        }
    }
    let parts = set.catalogue.parts.iter().map(|(part, _)| part);
    let absent = parts.filter(|part| !choices.meet(&set.links.ties(part.entity()).only));
    Played {
        set,
        cards,
        absent: absent.collect(),
    }
}

/// How things are at one moment, as far as events need it.
struct Counts<'a> {
    set: &'a Set,
    /// How many of an item are on, once some event has touched it.
    items: BTreeMap<Item, u32>,
    running: BTreeMap<Handle<Timer>, Place>,
    joints: Joints<Place>,
}

impl Counts<'_> {
    fn step<'a>(&mut self, stop: &Stop<'a>, choices: &Choices) -> (Vec<Happened<'a>>, BTreeSet<Handle<Consumable>>) {
        let before = stop
            .aside
            .then(|| (self.items.clone(), self.running.clone(), self.joints.clone()));
        let kept = stop.events.iter().filter(|event| choices.meet(event.only));
        // Work and what is used up count once for each member that the step is done for.
        let each = stop.step.each.or(stop.phase.each);
        let members = each.map_or(1, |each| self.set.catalogue.groups[each.group].members.len());
        let counts = |what: &What| {
            matches!(
                what,
                What::Work(_) | What::Use(Thing::Consumable(_) | Thing::Part(_), _)
            )
        };
        let times = |what: &What| if counts(what) { members } else { 1 };
        let kept: Vec<&Event> = kept
            .flat_map(|event| std::iter::repeat_n(event, times(&event.what)))
            .collect();
        let happened = kept.into_iter().map(|event| {
            let at = Place {
                procedure: stop.procedure,
                step: stop.step.number,
                span: event.at,
            };
            self.happen(event.what, at, event.member)
        });
        let happened = happened.collect();
        let open = self.joints.open(self.set);
        if let Some(before) = before {
            (self.items, self.running, self.joints) = before;
        }
        (happened, open)
    }

    fn happen<'a>(&mut self, what: What<'a>, at: Place, member: Option<usize>) -> Happened<'a> {
        let mut happened = Happened {
            at,
            member,
            what,
            on: 0,
            started: None,
        };
        match what {
            What::Item(item, on) => {
                happened.on = self.item(item, on);
                self.joints.moved(self.set, item, on, at);
            }
            What::Spread(consumable, joint) => self.joints.spread(consumable, joint, at),
            What::Wait(consumable) => happened.started = self.joints.closed_with(consumable),
            What::Timer(timer, OnTimer::Start) => drop(self.running.insert(timer, at)),
            What::Timer(timer, OnTimer::End) => happened.started = self.running.remove(&timer),
            What::Fastener(torque, on) => self.joints.fastened(self.set, torque, on, at),
            What::Use(Thing::Consumable(consumable), _) => self.joints.used(consumable, at),
            What::State(..)
            | What::Use(..)
            | What::Measure(_)
            | What::Do(_)
            | What::Hold(_)
            | What::Work(_)
            | What::Look(_) => {}
        }
        happened
    }

    /// How many of an item are on after an event.
    fn item(&mut self, item: Item, on: OnItem) -> u32 {
        let now = self.items.entry(item).or_insert_with(|| at_start(self.set, item));
        match on {
            OnItem::Fit(count) => *now = now.saturating_add(count).min(whole(self.set, item)),
            OnItem::Remove(count) => *now = now.saturating_sub(count),
            OnItem::Barred(_) => {}
        }
        *now
    }
}
