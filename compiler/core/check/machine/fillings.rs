//! Joints: what is put on them, their opening and closing, and what cures in them.

use super::acts::{Doing, InStep};
use super::shape::Node;
use super::world::{Key, Place, World};
use crate::check::ledger::diagram::{NEVER, Ref};
use crate::check::ledger::fault::{How, Since, Wrong};
use crate::model::registers::Joint;
use crate::model::{Entity, Handle, handle};
use crate::source::Span;

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
            self.become_(key, starts, step.time);
            self.turns(key);
        }
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
            let Some(open) = self.consumable(*consumable).and_then(|c| c.open.as_ref()) else {
                continue;
            };
            let limit = open.value.clone();
            let numbers = &self.durations;
            let takes: Vec<(u32, crate::domain::timer::Duration)> =
                (0..).map_while(|n| Some((n + 1, numbers.get(n)?))).collect();
            for (leaf, takes) in takes.into_iter().filter(|(_, takes)| *takes > limit) {
                let so = self.test(key, |open| open == leaf);
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

    /// Everything closed with a consumable has cured.
    pub fn wait(&mut self, consumable: Entity, doing: Doing) {
        self.event(doing.at, How::Waited);
        let mut cured = NEVER;
        for node in self.shape.joints_with(consumable).to_vec() {
            let position = self
                .shape
                .joint(node)
                .and_then(|joint| joint.consumables.iter().position(|c| *c == consumable));
            let Some(position) = position else { continue };
            if self.consumable(consumable).is_none_or(|c| c.cure.is_none()) {
                continue;
            }
            let closed = self.closed(node);
            let inside = self.test(Key::Filling(node), |bits| bits & 1 << position.min(30) != 0);
            let soft = self.test(Key::Hard(node), |hard| hard == 0);
            let cures = self.all(&[doing.guard, closed, inside, soft]);
            self.set(Key::Hard(node), cures, |_| 1);
            cured = self.diagrams.or(cured, cures);
        }
        let of_it = |key: &&Key| matches!(key, Key::Bare(used, _) if *used == consumable);
        let bare: Vec<Key> = self.bare.iter().filter(of_it).copied().collect();
        for key in bare {
            let bare = self.test(key, |bare| bare == 1);
            let bare = self.diagrams.and(bare, doing.guard);
            self.set(key, bare, |_| 0);
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
