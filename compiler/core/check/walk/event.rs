//! What happens to the machine, its fasteners, states and timers where a mark stands.
//!
//! Events are sorted by what they are about, so that whoever follows one kind of thing takes its events whole and answers each.

use super::guard::Guard;
use crate::domain::amount::Amount;
use crate::domain::timer::Duration;
use crate::model::registers::{Action, Consumable, Hold, Joint, Measurement, State, Timer, Torque};
use crate::model::ties::{Need, Wanted};
use crate::model::{Act, ActKind, Condition, Entity, Handle, Item, Onto, Set, Surface, Thing, handle};
use crate::source::Span;

/// Something that happens, and when.
#[derive(Debug, Clone)]
pub struct Event<'a, W = What<'a>> {
    pub guard: Guard,
    /// The condition of the sub-step that it stands in, besides those of its step and phase.
    pub only: &'a [Condition],
    /// The mark.
    pub at: Span,
    /// Position in its group of the one member that the mark names.
    pub member: Option<usize>,
    pub what: W,
}

impl<'a, W> Event<'a, W> {
    /// The same as it looks to one who follows a single thing.
    pub fn with<V>(&self, what: V) -> Event<'a, V> {
        Event {
            guard: self.guard.clone(),
            only: self.only,
            at: self.at,
            member: self.member,
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
    /// It is asked how a thing is.
    Look(Touched),
    /// A consumable is put on a joint.
    Spread(Handle<Consumable>, Handle<Joint>),
    /// A consumable is waited for until it has cured.
    Wait(Handle<Consumable>),
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
            What::Look(thing) => (thing, false),
            What::Use(Thing::Tool(_) | Thing::Consumable(_), _)
            | What::Do(_)
            | What::Hold(_)
            | What::Work(_)
            | What::Spread(..)
            | What::Wait(_) => {
                return None;
            }
        })
    }

    /// True if a part goes on that is not on the machine at the start.
    pub fn fits_new(&self, set: &Set) -> bool {
        matches!(self, What::Item(item @ Item::Part(_), OnItem::Fit(_)) if at_start(set, *item) == 0)
    }
}

/// How many of an item there are, all members of its group together.
pub fn whole(set: &Set, item: Item) -> u32 {
    let (qty, entity) = match item {
        Item::Part(part) => (set.catalogue.parts[part].qty, part.entity()),
        Item::Temporary(item) => (set.catalogue.temporary[item].qty, item.entity()),
    };
    qty.saturating_mul(members(set, entity))
}

/// How many members the group of an entry has; 1 without one.
pub fn members(set: &Set, entity: Entity) -> u32 {
    let group = set.links.ties(entity).each;
    let count = group.map_or(1, |group| set.catalogue.groups[group].members.len());
    u32::try_from(count.max(1)).unwrap_or(u32::MAX)
}

/// How many of an item are on the machine before the first step.
pub fn at_start(set: &Set, item: Item) -> u32 {
    match item {
        Item::Part(part) if set.catalogue.parts[part].fitted => whole(set, item),
        Item::Part(_) | Item::Temporary(_) => 0,
    }
}

/// Calls `yields` with everything that a mark makes happen, in order. A mark of one member of a group is of that alone; one in a step
/// that is done for each member is of all of them, and so is its count.
pub fn happens<'a>(set: &Set, act: &'a Act, mut yields: impl FnMut(What<'a>)) {
    let asked = |item: Item, count: Option<u32>| {
        let entity = match item {
            Item::Part(part) => part.entity(),
            Item::Temporary(item) => item.entity(),
        };
        let all = members(set, entity);
        match (act.member, count) {
            (Some(_), None) => whole(set, item) / all,
            (Some(_), Some(count)) => count,
            (None, None) => whole(set, item),
            (None, Some(count)) => count.saturating_mul(all),
        }
    };
    yields(match &act.kind {
        ActKind::Fit(item, count) => What::Item(*item, OnItem::Fit(asked(*item, *count))),
        ActKind::Remove(item, count) => What::Item(*item, OnItem::Remove(asked(*item, *count))),
        ActKind::Loosen(torque) => What::Fastener(*torque, OnFastener::Loosen),
        ActKind::Snug(torque) => What::Fastener(*torque, OnFastener::Snug),
        ActKind::Torque(torque) => What::Fastener(*torque, OnFastener::Torque),
        ActKind::Need(need) => {
            needed(need, None, &mut yields);
            return;
        }
        ActKind::Set(state, value) => What::State(*state, OnState::Set(*value, None)),
        ActKind::Start(timer) => What::Timer(*timer, OnTimer::Start),
        ActKind::End(timer) => What::Timer(*timer, OnTimer::End),
        ActKind::Use(thing, amount, onto) => {
            uses(*thing, amount.as_ref(), *onto, &mut yields);
            return;
        }
        ActKind::Wait(consumable) => What::Wait(*consumable),
        ActKind::Measure(limit, _) => What::Measure(*limit),
        ActKind::Hold(hold) => What::Hold(*hold),
        ActKind::Time(time) => What::Work(time),
        ActKind::Do(action) => {
            yields(What::Do(*action));
            consequences(set, *action, yields);
            return;
        }
        ActKind::Label(_)
        | ActKind::Step { .. }
        | ActKind::See(_)
        | ActKind::Only
        | ActKind::Mark(_)
        | ActKind::Each
        | ActKind::If(_)
        | ActKind::Repeat(_)
        | ActKind::Stop => return,
    });
}

/// A thing is used, and what is put on a joint is on it.
fn uses<'a>(thing: Thing, amount: Option<&'a Amount>, onto: Option<Onto>, yields: &mut impl FnMut(What<'a>)) {
    yields(What::Use(thing, amount));
    let joint = onto.and_then(|onto| match onto.what {
        Surface::Joint(joint) => Some(joint),
        Surface::Torque(_) => None,
    });
    if let (Thing::Consumable(consumable), Some(joint)) = (thing, joint) {
        yields(What::Spread(consumable, joint));
    }
}

/// What an action asks and brings about. Of a state that it names twice the first value counts.
fn consequences<'a>(set: &Set, action: Handle<Action>, mut yields: impl FnMut(What<'a>)) {
    let needs = &set.links.ties(action.entity()).needs;
    let is_state = |need: &&Need| matches!(need.what, Wanted::State(..));
    for need in needs.iter().filter(|need| !is_state(need)) {
        needed(need, Some(action), &mut yields);
    }
    for need in needs.iter().filter(is_state) {
        needed(need, Some(action), &mut yields);
    }
    let Some(links) = set.links.actions.get(&action) else {
        return;
    };
    for (state, value) in first_of_each(&links.sets) {
        yields(What::State(state, OnState::Set(value, Some(action))));
    }
}

/// What a condition asks about.
fn needed<'a>(need: &Need, action: Option<Handle<Action>>, yields: &mut impl FnMut(What<'a>)) {
    let things = match &need.what {
        Wanted::State(state, values) => {
            let value = values.first().copied().unwrap_or_default();
            yields(What::State(*state, OnState::Need(value, action)));
            return;
        }
        Wanted::Off(things) => {
            for thing in things {
                if let (Some(item), Some(action)) = (handle(*thing), action) {
                    yields(What::Item(Item::Temporary(item), OnItem::Barred(action)));
                } else if let Some(item) = handle(*thing) {
                    yields(What::Look(Touched::Item(Item::Temporary(item))));
                } else if let Some(part) = handle(*thing) {
                    yields(What::Look(Touched::Item(Item::Part(part))));
                }
            }
            return;
        }
        Wanted::Met(things) => things.as_slice(),
        Wanted::Loose(thing) => std::slice::from_ref(thing),
    };
    for thing in things {
        let touched = handle(*thing)
            .map(|part| Touched::Item(Item::Part(part)))
            .or_else(|| handle(*thing).map(|item| Touched::Item(Item::Temporary(item))))
            .or_else(|| handle(*thing).map(Touched::Torque))
            .or_else(|| handle(*thing).map(Touched::Readings));
        if let Some(touched) = touched {
            yields(What::Look(touched));
        }
    }
}

fn first_of_each(pairs: &[(Handle<State>, usize)]) -> impl Iterator<Item = (Handle<State>, usize)> {
    let first = |(n, (state, _)): &(usize, &(Handle<State>, usize))| !pairs.iter().take(*n).any(|(s, _)| s == state);
    pairs.iter().enumerate().filter(first).map(|(_, pair)| *pair)
}
