//! How places, joints and timers stand, worked out of how each thing does.

use super::ground::within;
use super::shape::Node;
use super::world::{Key, Running, TIGHT, World};
use crate::check::ledger::diagram::{ALWAYS, NEVER, Ref};
use crate::domain::timer::Duration;
use crate::model::handle;
use crate::model::registers::Register;
use std::collections::BTreeSet;

impl World<'_> {
    /// The parts of a place; a temporary item is its own.
    pub fn parts_of(&self, seat: Node) -> Vec<Node> {
        match self.shape.place(seat) {
            Some(place) => place.parts.clone(),
            None => vec![seat],
        }
    }

    /// The keys of the parts of a place.
    pub fn keys(&self, seat: Node) -> Vec<Key> {
        self.parts_of(seat).into_iter().map(Key::Item).collect()
    }

    /// True where a piece of a place, or a temporary item, is on.
    pub fn any_on(&mut self, seat: Node) -> Ref {
        let mut any = NEVER;
        for part in self.parts_of(seat) {
            let on = self.pieces(part, |p| p.on() > 0);
            any = self.diagrams.or(any, on);
        }
        any
    }

    /// True where an assembly doesn't keep what it contains off the machine: it is on, or there is none for these choices.
    pub fn carries(&mut self, seat: Node) -> Ref {
        let on = self.any_on(seat);
        let there = self.any_there(seat);
        let gone = self.diagrams.not(there);
        self.diagrams.or(on, gone)
    }

    /// True where some part of a place is there at all.
    pub fn any_there(&mut self, seat: Node) -> Ref {
        let mut any = NEVER;
        for part in self.parts_of(seat) {
            let there = self.there(part.entity);
            any = self.diagrams.or(any, there);
        }
        any
    }

    /// True where a place is full, or all of a temporary item on.
    pub fn whole(&mut self, seat: Node) -> Ref {
        let parts = self.parts_of(seat);
        let shape = self.shape;
        let pieces = match shape.place(seat) {
            Some(place) => place.pieces,
            None => self.temporary(seat).map(|item| item.qty),
        };
        let Some(full) = pieces else {
            let mut whole = NEVER;
            for part in parts {
                let qty = shape.part(part).map_or(1, |p| p.qty);
                let on = self.pieces(part, |p| p.on() >= qty);
                whole = self.diagrams.or(whole, on);
            }
            return whole;
        };
        let mut sum = Ref::Leaf(0);
        for part in parts {
            let now = self.value(Key::Item(part));
            let numbers = &self.pieces;
            sum = self.diagrams.combine(sum, now, &mut |sum, leaf| {
                sum + numbers.get(leaf).map_or(0, |pieces| pieces.on())
            });
        }
        self.diagrams.map(sum, &mut |sum| u32::from(sum >= full))
    }

    /// True where a piece on is spent.
    pub fn spent(&mut self, seat: Node) -> Ref {
        let mut spent = NEVER;
        for part in self.parts_of(seat) {
            let on = self.pieces(part, |p| p.spent > 0);
            spent = self.diagrams.or(spent, on);
        }
        spent
    }

    /// True where a joint is closed.
    pub fn closed(&mut self, joint: Node) -> Ref {
        let shape = self.shape;
        let mut closed = ALWAYS;
        for closer in shape.joint(joint).map_or(&[][..], |joint| &joint.closers) {
            // Fasteners, or a part.
            let (there, shut) = if closer.is(Register::Torques) {
                let tight = self.test(Key::Grip(*closer), |grip| grip == TIGHT);
                (self.there(closer.entity), tight)
            } else {
                (self.any_there(*closer), self.whole(*closer))
            };
            let shut = self.diagrams.select(there, shut, ALWAYS);
            closed = self.diagrams.and(closed, shut);
        }
        closed
    }

    /// What brings a joint to be closed or open.
    pub fn closing(&self, joint: Node) -> Vec<Key> {
        let closers = self.shape.joint(joint).map_or(&[][..], |joint| &joint.closers);
        closers
            .iter()
            .flat_map(|closer| {
                if closer.is(Register::Torques) {
                    vec![Key::Grip(*closer)]
                } else {
                    self.keys(*closer)
                }
            })
            .collect()
    }

    /// How many fillings a joint has; a part that is only partly on makes it one too many or too few.
    pub fn fillings(&mut self, joint: Node) -> Ref {
        let shape = self.shape;
        let bits = self.value(Key::Filling(joint));
        let mut count = self.diagrams.map(bits, &mut |bits| bits.count_ones());
        for place in shape.joint(joint).map_or(&[][..], |joint| &joint.places) {
            let whole = self.whole(*place);
            let on = self.any_on(*place);
            // Some pieces of several are no filling.
            let partly = self.diagrams.without(on, whole);
            count = self.diagrams.combine(count, whole, &mut |sum, one| sum + one);
            count = self.diagrams.combine(count, partly, &mut |sum, part| sum + 16 * part);
        }
        count
    }

    /// True where a timer is such.
    pub fn clocks_where(&mut self, key: Key, is: impl Fn(&super::clock::State) -> bool) -> Ref {
        let now = self.value(key);
        let numbers = &self.clocks;
        self.diagrams.map(now, &mut |leaf| {
            u32::from(numbers.get(leaf).is_some_and(|state| is(&state)))
        })
    }

    /// A window, or the open time of a joint, may begin or end here; a wait may take as long as it likes.
    pub(super) fn turns(&mut self, key: Key) {
        let counts = match key.running() {
            Some(Running::Timer(node)) => {
                handle(node.entity).is_some_and(|timer| within(self.shape.set, timer).is_some())
            }
            Some(Running::Open(..)) => true,
            None => false,
        };
        if counts {
            self.turned.insert(key);
        }
    }

    /// Of what may have begun or ended since an event, what did, and all of it: by the numbers of their tracks.
    pub fn turned_since(
        &mut self,
        keys: impl IntoIterator<Item = Key>,
        began: u32,
    ) -> (BTreeSet<usize>, BTreeSet<usize>) {
        let (mut turned, mut may_turn) = (BTreeSet::new(), BTreeSet::new());
        for key in keys {
            let Some(number) = self.tracks.get_index_of(&key) else {
                continue;
            };
            may_turn.insert(number);
            if self.stands_otherwise(key, began) {
                turned.insert(number);
            }
        }
        (turned, may_turn)
    }

    /// True if a window or an open time runs, or something stands as nobody should leave it, on other ways than before an event. To look is
    /// no touch.
    fn stands_otherwise(&mut self, key: Key, began: u32) -> bool {
        let Some(track) = self.tracks.get(&key) else {
            return false;
        };
        let earlier = track.past.iter().rev().find(|(event, ..)| *event <= began);
        let (before, now) = (earlier.map_or(track.start, |(_, state, _)| *state), track.now);
        let (pieces, clocks, shape) = (&self.pieces, &self.clocks, self.shape);
        let mut so = |leaf: u32| {
            u32::from(match key {
                Key::Clock(_) => clocks.get(leaf).is_some_and(|state| state.runs()),
                Key::Item(_) => pieces.get(leaf).is_some_and(|pieces| pieces.on() > 0),
                Key::State(node) => {
                    let perilous = &shape.ties(node.entity).perilous;
                    perilous.iter().any(|value| leaf == *value as u32 + 1)
                }
                Key::Open(..)
                | Key::Grip(_)
                | Key::Wet(_)
                | Key::Worn(_)
                | Key::Filling(_)
                | Key::Hard(_)
                | Key::Bare(..)
                | Key::Valid(_)
                | Key::Read(_)
                | Key::Answer(_)
                | Key::Met(_) => leaf > 0,
            })
        };
        before != now && self.diagrams.map(before, &mut so) != self.diagrams.map(now, &mut so)
    }

    /// Lets something happen to a timer; a window of that limit that is over it only gets later.
    pub fn clock(&mut self, key: Key, guard: Ref, limit: Option<&Duration>, what: super::clock::What) {
        let now = self.value(key);
        let numbers = &mut self.clocks;
        let next = self.diagrams.map(now, &mut |leaf| match numbers.get(leaf) {
            Some(mut state) => {
                what.happen(&mut state);
                numbers.number(state.merged(limit))
            }
            None => leaf,
        });
        let event = self.now();
        if matches!(what, super::clock::What::Start | super::clock::What::Stop) {
            self.turns(key);
        }
        self.log.entry(key).or_default().push((event, guard, what));
        self.become_(key, guard, next);
    }

    /// A wait starts or ends while windows run and consumables are open in joints.
    pub fn meanwhile(&mut self, guard: Ref, wait: &super::clock::What) {
        if guard == NEVER {
            return;
        }
        for key in self.running.clone() {
            match key.running() {
                Some(Running::Timer(node)) => {
                    let limit = handle(node.entity).and_then(|timer| within(self.shape.set, timer));
                    if limit.is_some() {
                        self.clock(key, guard, limit.as_ref(), wait.clone());
                    }
                }
                Some(Running::Open(_, consumable)) => {
                    if let Some(limit) = self.open_time(consumable) {
                        self.open_clock(key, guard, &limit, wait);
                    }
                }
                None => {}
            }
        }
    }

    /// Every length of time that a timer may have run.
    pub fn elapsed(&mut self, key: Key) -> BTreeSet<Duration> {
        let now = self.value(key);
        let mut leaves = BTreeSet::new();
        self.diagrams.map(now, &mut |leaf| {
            leaves.insert(leaf);
            leaf
        });
        let numbers = &self.clocks;
        leaves
            .into_iter()
            .filter_map(|leaf| numbers.get(leaf)?.elapsed().cloned())
            .collect()
    }

    /// True if a timer runs on some way.
    pub fn may_run(&mut self, key: Key) -> bool {
        self.clocks_where(key, super::clock::State::runs) != NEVER
    }
}
