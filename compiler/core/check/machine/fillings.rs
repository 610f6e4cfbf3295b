//! Joints: what is put on them, their opening and closing, and what cures in them.

use super::acts::{Doing, InStep};
use super::clock::{State, What};
use super::shape::Node;
use super::world::{Key, Place, World};
use crate::check::ledger::diagram::{NEVER, Ref};
use crate::check::ledger::fault::{How, Since, Wrong};
use crate::domain::timer::Duration;
use crate::model::registers::Joint;
use crate::model::{Entity, Handle, handle};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

impl World<'_> {
    /// Something was put on a joint.
    pub fn spread_on_joint(&mut self, consumable: Entity, node: Node, step: InStep, doing: Doing) {
        self.event(doing.at, How::Used);
        let guard = self.present(node, doing);
        self.reached(node, doing.at, guard);
        let closed = self.closed(node);
        let bad = self.diagrams.and(guard, closed);
        let closing = self.closing(node);
        let joint: Option<Handle<Joint>> = handle(node.entity);
        if let Some(joint) = joint {
            let since = vec![Place::Last(closing)];
            self.wrong(bad, Wrong::JointClosed { joint }, Place::Here(doing.at), since);
        }
        let guard = self.diagrams.without(guard, closed);
        let position = self
            .shape
            .joint(node)
            .and_then(|joint| joint.consumables.iter().position(|c| *c == consumable));
        let Some(position) = position else { return };
        let bit = 1 << position.min(30);
        self.set(Key::Filling(node), guard, |bits| bits | bit);
        self.set(Key::Hard(node), guard, |_| 0);
        self.touch(node, guard);
        if self.consumable(consumable).is_some_and(|c| c.open.is_some()) {
            let key = Key::Open(node, consumable);
            self.running.insert(key);
            let idle = self.test(key, |open| open == 0);
            let starts = self.diagrams.and(guard, idle);
            // Its own step counts in full; those after it are looked at as they begin.
            let bad = self.diagrams.and(starts, step.untimed);
            let since = vec![Place::Told(Since {
                at: doing.at,
                how: How::Used,
            })];
            let wrong = Wrong::Untimed { window: consumable };
            self.wrong(bad, wrong, Place::Here(step.span), since);
            let (durations, clocks) = (&self.durations, &mut self.clocks);
            let opened = self.diagrams.map(step.time, &mut |leaf| {
                let time = leaf.checked_sub(1).and_then(|number| durations.get(number));
                time.map_or(0, |time| clocks.number(State::since(time)) + 1)
            });
            self.become_(key, starts, opened);
            self.turns(key);
        }
    }

    /// How long a consumable may be open.
    pub fn open_time(&self, consumable: Entity) -> Option<Duration> {
        Some(self.consumable(consumable)?.open.as_ref()?.value.clone())
    }

    /// Lets something happen to what is open on a joint; what is over its limit stays so.
    pub fn open_clock(&mut self, key: Key, guard: Ref, limit: &Duration, what: &What) {
        let now = self.value(key);
        let numbers = &mut self.clocks;
        let next = self.diagrams.map(now, &mut |leaf| {
            let Some(mut state) = leaf.checked_sub(1).and_then(|number| numbers.get(number)) else {
                return leaf;
            };
            if state.elapsed().is_some_and(|elapsed| elapsed <= limit) {
                what.happen(&mut state);
            }
            let over = state.elapsed().is_some_and(|elapsed| elapsed > limit);
            numbers.number(if over { state.alone() } else { state }) + 1
        });
        self.become_(key, guard, next);
    }

    /// Every length of time over a limit that something may have been open on a joint, with its leaves.
    pub fn open_over(&mut self, key: Key, limit: &Duration) -> BTreeMap<Duration, BTreeSet<u32>> {
        let now = self.value(key);
        let mut over: BTreeMap<Duration, BTreeSet<u32>> = BTreeMap::new();
        let numbers = &self.clocks;
        self.diagrams.map(now, &mut |leaf| {
            let state = leaf.checked_sub(1).and_then(|number| numbers.get(number));
            let elapsed = state.and_then(|state| state.elapsed().cloned());
            if let Some(elapsed) = elapsed.filter(|elapsed| elapsed > limit) {
                over.entry(elapsed).or_default().insert(leaf);
            }
            leaf
        });
        over
    }

    /// Something was put on fasteners.
    pub fn spread_on_torque(&mut self, consumable: Entity, node: Node, doing: Doing) {
        self.event(doing.at, How::Used);
        let guard = self.present(node, doing);
        self.reached(node, doing.at, guard);
        if self.shape.ties(node.entity).lubricant == Some(consumable) {
            self.set(Key::Wet(node), guard, |_| 1);
        }
    }

    /// A joint is opened: what was in it and isn't a part is gone.
    pub(super) fn open(&mut self, joint: Node, guard: Ref) {
        self.set(Key::Filling(joint), guard, |_| 0);
        self.set(Key::Hard(joint), guard, |_| 0);
        let shape = self.shape;
        for consumable in shape.joint(joint).map_or(&[][..], |joint| &joint.consumables) {
            let key = Key::Open(joint, *consumable);
            self.set(key, guard, |_| 0);
            self.turns(key);
        }
    }

    /// A fastener or part that closes a joint was tightened or went on: where that closed it, what was open is judged.
    pub(super) fn shut(&mut self, node: Node, at: Span, guard: Ref) {
        let closed = self.closed(node);
        let guard = self.diagrams.and(guard, closed);
        let shape = self.shape;
        let joint: Option<Handle<Joint>> = handle(node.entity);
        let Some(joint) = joint else { return };
        for consumable in shape.joint(node).map_or(&[][..], |joint| &joint.consumables) {
            let key = Key::Open(node, *consumable);
            let Some(limit) = self.open_time(*consumable) else {
                continue;
            };
            for (takes, leaves) in self.open_over(key, &limit) {
                let so = self.test(key, |open| leaves.contains(&open));
                let bad = self.diagrams.and(guard, so);
                if bad == NEVER {
                    continue;
                }
                let consumable = handle(*consumable);
                if let Some(consumable) = consumable {
                    let wrong = Wrong::OpenOver {
                        joint,
                        consumable,
                        takes,
                    };
                    let since = vec![Place::Changed(vec![Key::Filling(node)])];
                    self.wrong(bad, wrong, Place::Here(at), since);
                }
            }
            self.set(key, guard, |_| 0);
            self.turns(key);
        }
    }

    /// The joints of a fastener or part that something is in that cures, where they are open; none while no time is reckoned.
    pub(super) fn still_open(&mut self, seat: Node) -> Vec<(Node, Ref)> {
        let shape = self.shape;
        let mut soft = Vec::new();
        if self.running.is_empty() {
            return soft;
        }
        for node in shape.joints_of(seat) {
            let joint = shape.joint(*node).filter(|joint| joint.closers.contains(&seat));
            let taken = joint.map_or(&[][..], |joint| &joint.consumables);
            let cures = |consumable: &Entity| self.consumable(*consumable).is_some_and(|c| c.cure.is_some());
            let positions = taken.iter().enumerate().filter(|(_, consumable)| cures(consumable));
            let bits = positions.fold(0, |bits, (position, _)| bits | 1 << position.min(30));
            if bits == 0 {
                continue;
            }
            let inside = self.test(Key::Filling(*node), |filling| filling & bits != 0);
            let closed = self.closed(*node);
            let open = self.diagrams.without(inside, closed);
            if open != NEVER {
                soft.push((*node, open));
            }
        }
        soft
    }

    /// What lies in joints that were open cures from here on, where they are closed now: a wait for it counts from the end of this step.
    pub(super) fn cures_from_here(&mut self, soft: Vec<(Node, Ref)>, guard: Ref) {
        for (node, open) in soft {
            let closed = self.closed(node);
            let closes = self.all(&[guard, open, closed]);
            self.meanwhile(closes, &What::WaitStarts(node));
        }
    }

    /// Everything closed with a consumable has cured.
    pub fn wait(&mut self, consumable: Entity, doing: Doing) {
        self.event(doing.at, How::Waited);
        let length = self.consumable(consumable).and_then(|c| c.cure.as_ref());
        let length = length.map(|cure| cure.value.clone());
        let mut cured = NEVER;
        for node in self.shape.joints_with(consumable).to_vec() {
            let position = self
                .shape
                .joint(node)
                .and_then(|joint| joint.consumables.iter().position(|c| *c == consumable));
            let Some(position) = position else { continue };
            let Some(length) = &length else { continue };
            let closed = self.closed(node);
            let inside = self.test(Key::Filling(node), |bits| bits & 1 << position.min(30) != 0);
            let soft = self.test(Key::Hard(node), |hard| hard == 0);
            let cures = self.all(&[doing.guard, closed, inside, soft]);
            self.set(Key::Hard(node), cures, |_| 1);
            self.meanwhile(cures, &What::WaitEnds(node, length.clone()));
            cured = self.diagrams.or(cured, cures);
        }
        let of_it = |key: &&Key| matches!(key, Key::Bare(used, _) if *used == consumable);
        let bare: Vec<Key> = self.bare.iter().filter(of_it).copied().collect();
        for key in bare {
            let bare = self.test(key, |bare| bare == 1);
            let bare = self.diagrams.and(bare, doing.guard);
            self.set(key, bare, |_| 0);
            if let Some(length) = &length {
                let node = Node::new(consumable, 0);
                self.meanwhile(bare, &What::WaitEnds(node, length.clone()));
            }
            cured = self.diagrams.or(cured, bare);
        }
        let bad = self.diagrams.without(doing.guard, cured);
        if let Some(consumable) = handle(consumable) {
            self.wrong(
                bad,
                Wrong::NothingCures { consumable },
                Place::Here(doing.at),
                Vec::new(),
            );
        }
    }
}
