//! Which fasteners hold which parts, looked up both ways: worked out once for a set, for it is asked at every event.

use crate::model::registers::{Part, Torque};
use crate::model::{Handle, Set, handle};
use std::collections::{BTreeMap, BTreeSet};

/// What the fasteners of a set hold, for one combination of choices.
pub struct Held {
    /// The places of the parts that fasteners hold; nothing of those that aren't said to hold any.
    places: BTreeMap<Handle<Torque>, BTreeSet<Handle<Part>>>,
    /// The fasteners that hold a place, in the order of the register.
    by_place: BTreeMap<Handle<Part>, Vec<Handle<Torque>>>,
    /// The parts that may stand in a place and are there for the choices.
    parts: BTreeMap<Handle<Part>, Vec<Handle<Part>>>,
    /// Parts that stand in the place of another, there or not.
    replacing: Vec<(Handle<Part>, Handle<Part>)>,
}

impl Held {
    pub fn new(set: &Set, absent: &BTreeSet<Handle<Part>>) -> Self {
        let mut held = Held {
            places: BTreeMap::new(),
            by_place: BTreeMap::new(),
            parts: BTreeMap::new(),
            replacing: Vec::new(),
        };
        for (torque, _) in set.catalogue.torques.iter() {
            let secures = &set.links.ties(torque.entity()).secures;
            if secures.is_empty() {
                continue;
            }
            let things = secures.iter().flat_map(|target| &target.things);
            let parts = things.filter_map(|thing| handle(*thing));
            let places: BTreeSet<Handle<Part>> = parts.map(|part| set.links.place_of(part)).collect();
            for place in &places {
                held.by_place.entry(*place).or_default().push(torque);
            }
            held.places.insert(torque, places);
        }
        for (part, _) in set.catalogue.parts.iter() {
            let place = set.links.place_of(part);
            if place != part {
                held.replacing.push((part, place));
            }
            if !absent.contains(&part) {
                held.parts.entry(place).or_default().push(part);
            }
        }
        held
    }

    /// True for fasteners that are said to hold parts.
    pub fn holds(&self, torque: Handle<Torque>) -> bool {
        self.places.contains_key(&torque)
    }

    /// The fasteners that hold a place.
    pub fn by(&self, place: Handle<Part>) -> &[Handle<Torque>] {
        self.by_place.get(&place).map_or(&[], Vec::as_slice)
    }

    /// The parts that are there for the choices, of those that fasteners hold.
    pub fn parts(&self, torque: Handle<Torque>) -> impl Iterator<Item = Handle<Part>> {
        let places = self.places.get(&torque).into_iter().flatten();
        places.filter_map(|place| self.parts.get(place)).flatten().copied()
    }

    /// Parts that stand in the place of another, each with that.
    pub fn replacing(&self) -> &[(Handle<Part>, Handle<Part>)] {
        &self.replacing
    }
}
