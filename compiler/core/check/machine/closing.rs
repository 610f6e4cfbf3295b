//! Where a joint was last closed, on one way.

use super::shape::Node;
use super::world::{Key, TIGHT, World};
use crate::check::ledger::fault::Since;
use crate::model::registers::Register;
use std::collections::BTreeMap;

/// How what closes a joint stands, by leaf.
type Leaves = BTreeMap<Key, u32>;

impl World<'_> {
    /// The last closing of a joint before some event; `None` if it was closed from the start. Where a part comes off and another that went on
    /// beside it closes the joint still, that is where the other went on.
    pub(super) fn last_closing(&self, joint: Node, when: u32, values: &BTreeMap<usize, usize>) -> Option<Since> {
        let keys = self.closing(joint);
        let mut changes: BTreeMap<u32, Vec<(Key, u32, u32)>> = BTreeMap::new();
        let mut leaves = Leaves::new();
        for key in &keys {
            let start = self
                .tracks
                .get(key)
                .map(|track| self.diagrams.leaf(track.start, values));
            leaves.extend(start.map(|leaf| (*key, leaf)));
            for (event, before, after) in self.changes(*key, when, values) {
                changes.entry(event).or_default().push((*key, before, after));
            }
        }
        let mut closed = self.closed_with(joint, &leaves, values);
        let mut since = None;
        let mut fitted: BTreeMap<Key, u32> = BTreeMap::new();
        for (event, changes) in changes {
            let mut came_off = false;
            for (key, before, after) in changes {
                leaves.insert(key, after);
                if matches!(key, Key::Item(_)) {
                    came_off |= self.on(after) < self.on(before);
                    if self.on(after) > self.on(before) {
                        fitted.insert(key, event);
                    }
                }
            }
            let was = std::mem::replace(&mut closed, self.closed_with(joint, &leaves, values));
            if closed && !was {
                since = Some(event);
            } else if closed && came_off {
                let on = |key: &&Key| leaves.get(key).is_some_and(|leaf| self.on(*leaf) > 0);
                let last = fitted.keys().filter(on).filter_map(|key| fitted.get(key)).max();
                since = last.copied().or(since);
            }
        }
        since.and_then(|event| self.at(event))
    }

    /// Pieces that are on, by leaf.
    fn on(&self, leaf: u32) -> u32 {
        self.pieces.get(leaf).map_or(0, |pieces| pieces.on())
    }

    /// True if a joint is closed where what closes it stands so.
    fn closed_with(&self, joint: Node, leaves: &Leaves, values: &BTreeMap<usize, usize>) -> bool {
        let there = |node: &Node| {
            let there = self.there.get(&node.entity);
            there.is_none_or(|there| self.diagrams.leaf(*there, values) == 1)
        };
        let shut = |closer: &Node| {
            if closer.is(Register::Torques) {
                return !there(closer) || leaves.get(&Key::Grip(*closer)) == Some(&TIGHT);
            }
            let parts = self.parts_of(*closer);
            let on = |part: &Node| leaves.get(&Key::Item(*part)).map_or(0, |leaf| self.on(*leaf));
            let whole = match self.shape.place(*closer).and_then(|place| place.pieces) {
                Some(full) => parts.iter().map(on).sum::<u32>() >= full,
                None => parts
                    .iter()
                    .any(|part| on(part) >= self.shape.part(*part).map_or(1, |p| p.qty)),
            };
            whole || !parts.iter().any(there)
        };
        let closers = self.shape.joint(joint).map_or(&[][..], |joint| &joint.closers);
        closers.iter().all(shut)
    }
}
