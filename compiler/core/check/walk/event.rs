//! What happens to the machine, its fasteners, states and timers where a mark stands.
//!
//! Events are sorted by what they are about, so that whoever follows one kind of thing takes its events whole and answers each.

use super::guard::Guard;
use crate::domain::amount::Amount;
use crate::domain::timer::Duration;
use crate::model::registers::{Action, Hold, Measurement, State, Timer, Torque};
use crate::model::{ActKind, Condition, Handle, Item, Set, Thing};
use crate::source::Span;

/// Something that happens, and when.
#[derive(Debug, Clone)]
pub struct Event<'a, W = What<'a>> {
    pub guard: Guard,
    /// The condition of the sub-step that it stands in, besides those of its step and phase.
    pub only: &'a [Condition],
    /// The mark.
    pub at: Span,
    pub what: W,
}

impl<'a, W> Event<'a, W> {
    /// The same as it looks to one who follows a single thing.
    pub fn with<V>(&self, what: V) -> Event<'a, V> {
        Event {
            guard: self.guard.clone(),
            only: self.only,
            at: self.at,
            what,
        }
    }
}

/// What happens, by what it happens to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What<'a> {
    Item(Item, OnItem),
    Fastener(Handle<Torque>, OnFastener),
    State(Handle<State>, OnState),
    Timer(Handle<Timer>, OnTimer),
    /// A thing is used, perhaps so much of it.
    Use(Thing, Option<&'a Amount>),
    Measure(Handle<Measurement>),
    /// An action is done; what it asks and brings about follows as events of its own.
    Do(Handle<Action>),
    Hold(Handle<Hold>),
    /// Hands-on work.
    Work(&'a Duration),
}

/// What happens to a part or temporary item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnItem {
    /// So many go on.
    Fit(u32),
    /// So many come off.
    Remove(u32),
    /// An action is done that must not meet it.
    Barred(Handle<Action>),
}

/// What happens to the fasteners of one tightening spec.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnFastener {
    Loosen,
    /// Started by hand.
    Snug,
    /// Tightened to its figures.
    Torque,
}

/// What happens to a state. Values are indices into the state's `values`; an action that asks or brings it about is named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnState {
    Set(usize, Option<Handle<Action>>),
    Need(usize, Option<Handle<Action>>),
}

/// What happens to a timer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnTimer {
    Start,
    End,
}

/// A thing that events touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Touched {
    Item(Item),
    Torque(Handle<Torque>),
    State(Handle<State>),
    Timer(Handle<Timer>),
    /// The readings of a measurement.
    Readings(Handle<Measurement>),
}

impl What<'_> {
    /// What is touched, and whether it is another than before: two events that only look at a thing may change places.
    pub fn touches(&self) -> Option<(Touched, bool)> {
        Some(match *self {
            What::Item(item, on) => (Touched::Item(item), !matches!(on, OnItem::Barred(_))),
            What::Fastener(torque, _) => (Touched::Torque(torque), true),
            What::State(state, on) => (Touched::State(state), matches!(on, OnState::Set(..))),
            What::Timer(timer, _) => (Touched::Timer(timer), true),
            What::Use(Thing::Part(part), _) => (Touched::Item(Item::Part(part)), false),
            What::Use(Thing::Temporary(item), _) => (Touched::Item(Item::Temporary(item)), false),
            What::Measure(limit) => (Touched::Readings(limit), true),
            What::Use(Thing::Tool(_) | Thing::Consumable(_), _) | What::Do(_) | What::Hold(_) | What::Work(_) => {
                return None;
            }
        })
    }

    /// True if a part goes on that is not on the machine at the start.
    pub fn fits_new(&self, set: &Set) -> bool {
        matches!(self, What::Item(item @ Item::Part(_), OnItem::Fit(_)) if at_start(set, *item) == 0)
    }
}

/// How many of an item there are.
pub fn whole(set: &Set, item: Item) -> u32 {
    match item {
        Item::Part(part) => set.catalogue.parts[part].qty,
        Item::Temporary(item) => set.catalogue.temporary[item].qty,
    }
}

/// How many of an item are on the machine before the first step.
pub fn at_start(set: &Set, item: Item) -> u32 {
    match item {
        Item::Part(part) if set.catalogue.parts[part].fitted => set.catalogue.parts[part].qty,
        Item::Part(_) | Item::Temporary(_) => 0,
    }
}

/// Calls `yields` with everything that a mark makes happen, in order.
pub fn happens<'a>(set: &Set, kind: &'a ActKind, mut yields: impl FnMut(What<'a>)) {
    let asked = |item: Item, count: Option<u32>| count.unwrap_or_else(|| whole(set, item));
    yields(match kind {
        ActKind::Fit(item, count) => What::Item(*item, OnItem::Fit(asked(*item, *count))),
        ActKind::Remove(item, count) => What::Item(*item, OnItem::Remove(asked(*item, *count))),
        ActKind::Loosen(torque) => What::Fastener(*torque, OnFastener::Loosen),
        ActKind::Snug(torque) => What::Fastener(*torque, OnFastener::Snug),
        ActKind::Torque(torque) => What::Fastener(*torque, OnFastener::Torque),
        ActKind::Need(state, value) => What::State(*state, OnState::Need(*value, None)),
        ActKind::Set(state, value) => What::State(*state, OnState::Set(*value, None)),
        ActKind::Start(timer) => What::Timer(*timer, OnTimer::Start),
        ActKind::End(timer) => What::Timer(*timer, OnTimer::End),
        ActKind::Use(thing, amount) => What::Use(*thing, amount.as_ref()),
        ActKind::Measure(limit) => What::Measure(*limit),
        ActKind::Hold(hold) => What::Hold(*hold),
        ActKind::Time(time) => What::Work(time),
        ActKind::Do(action) => {
            yields(What::Do(*action));
            consequences(set, *action, yields);
            return;
        }
        ActKind::Label(_) | ActKind::Step { .. } | ActKind::See(_) | ActKind::Only => return,
    });
}

/// What an action asks and brings about. Of a state that it names twice the first value counts.
fn consequences<'a>(set: &Set, action: Handle<Action>, mut yields: impl FnMut(What<'a>)) {
    let Some(links) = set.links.actions.get(&action) else {
        return;
    };
    for item in &links.never_with {
        yields(What::Item(Item::Temporary(*item), OnItem::Barred(action)));
    }
    for (state, value) in first_of_each(&links.needs) {
        yields(What::State(state, OnState::Need(value, Some(action))));
    }
    for (state, value) in first_of_each(&links.sets) {
        yields(What::State(state, OnState::Set(value, Some(action))));
    }
}

fn first_of_each(pairs: &[(Handle<State>, usize)]) -> impl Iterator<Item = (Handle<State>, usize)> {
    let first = |(n, (state, _)): &(usize, &(Handle<State>, usize))| !pairs.iter().take(*n).any(|(s, _)| s == state);
    pairs.iter().enumerate().filter(first).map(|(_, pair)| *pair)
}
