//! What is in the joints, and since when they are closed: since when a wait for something to cure runs.

use super::event::{OnFastener, OnItem, at_start};
use crate::model::registers::{Consumable, Joint, Torque};
use crate::model::{Entity, Handle, Item, Set, handle};
use std::collections::{BTreeMap, BTreeSet};

/// The joints at one moment of a walk, with places of the kind `P`; of those that nothing was put on nothing is known.
#[derive(Debug, Clone)]
pub struct Joints<P> {
    /// How many events there have been, to tell what came last.
    count: usize,
    filled: BTreeMap<Handle<Joint>, BTreeSet<Handle<Consumable>>>,
    /// What happened last to one that something was put on: that, or its closing.
    last: BTreeMap<Handle<Joint>, (usize, P)>,
    /// Where a consumable was last used at all.
    used: BTreeMap<Handle<Consumable>, P>,
    /// Something that stays open only for a while is on it, and it isn't closed.
    open: BTreeMap<Handle<Joint>, BTreeSet<Handle<Consumable>>>,
    /// Whether what closes joints does so, once some event has touched it; parts by their places.
    shut: BTreeMap<Entity, bool>,
}

impl<P> Default for Joints<P> {
    fn default() -> Self {
        Joints {
            count: 0,
            filled: BTreeMap::new(),
            last: BTreeMap::new(),
            used: BTreeMap::new(),
            open: BTreeMap::new(),
            shut: BTreeMap::new(),
        }
    }
}

impl<P: Copy> Joints<P> {
    pub fn used(&mut self, consumable: Handle<Consumable>, at: P) {
        self.used.insert(consumable, at);
    }

    pub fn spread(&mut self, consumable: Handle<Consumable>, joint: Handle<Joint>, at: P) {
        self.count += 1;
        self.filled.entry(joint).or_default().insert(consumable);
        self.open.entry(joint).or_default().insert(consumable);
        self.last.insert(joint, (self.count, at));
    }

    pub fn fastened(&mut self, set: &Set, torque: Handle<Torque>, on: OnFastener, at: P) {
        match on {
            OnFastener::Torque => self.close(set, torque.entity(), at),
            OnFastener::Loosen => self.empty(set, torque.entity()),
            OnFastener::Snug => drop(self.shut.insert(torque.entity(), false)),
        }
    }

    pub fn moved(&mut self, set: &Set, item: Item, on: OnItem, at: P) {
        let Item::Part(part) = item else { return };
        let place = set.links.place_of(part).entity();
        match on {
            OnItem::Fit(_) => self.close(set, place, at),
            OnItem::Remove(_) => self.empty(set, place),
            OnItem::Barred(_) => {}
        }
    }

    fn close(&mut self, set: &Set, by: Entity, at: P) {
        self.count += 1;
        self.shut.insert(by, true);
        for joint in closed_by(set, by) {
            if closers(set, joint).all(|closer| self.is_shut(set, closer)) {
                self.open.remove(&joint);
            }
            if self.filled.contains_key(&joint) {
                self.last.insert(joint, (self.count, at));
            }
        }
    }

    fn empty(&mut self, set: &Set, by: Entity) {
        self.shut.insert(by, false);
        for joint in closed_by(set, by) {
            self.filled.remove(&joint);
            self.last.remove(&joint);
        }
    }

    fn is_shut(&self, set: &Set, closer: Entity) -> bool {
        if let Some(known) = self.shut.get(&closer) {
            return *known;
        }
        let on = |part| at_start(set, Item::Part(part)) > 0;
        if let Some(part) = handle(closer) {
            return on(part);
        }
        // Fasteners of what is off at the start are out.
        let ties = set.links.ties(closer);
        let held = ties.secures.iter().flat_map(|target| &target.things).copied();
        let mut held = held.filter_map(handle).chain(ties.part).peekable();
        held.peek().is_none() || held.any(on)
    }

    /// The last closing of a joint that something is in; where it is in none, its last use.
    pub fn closed_with(&self, consumable: Handle<Consumable>) -> Option<P> {
        let with = self.filled.iter().filter(|(_, in_it)| in_it.contains(&consumable));
        let closings = with.filter_map(|(joint, _)| self.last.get(joint));
        let last = closings.max_by_key(|(count, _)| *count).map(|(_, at)| *at);
        last.or_else(|| self.used.get(&consumable).copied())
    }

    /// What is on a joint that isn't closed, and stays open only for a while.
    pub fn open(&self, set: &Set) -> BTreeSet<Handle<Consumable>> {
        let on = self.open.values().flatten().copied();
        on.filter(|consumable| set.catalogue.consumables[*consumable].open.is_some())
            .collect()
    }
}

/// The joints that something closes; a part is named by its place.
fn closed_by(set: &Set, by: Entity) -> Vec<Handle<Joint>> {
    let joints = set.catalogue.joints.iter().map(|(joint, _)| joint);
    joints
        .filter(|joint| closers(set, *joint).any(|closer| closer == by))
        .collect()
}

/// What closes a joint; a part is named by its place.
fn closers(set: &Set, joint: Handle<Joint>) -> impl Iterator<Item = Entity> + '_ {
    let targets = set.links.ties(joint.entity()).closed_by.iter();
    targets
        .flat_map(|target| &target.things)
        .map(|thing| match handle(*thing) {
            Some(part) => set.links.place_of(part).entity(),
            None => *thing,
        })
}
