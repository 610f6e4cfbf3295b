//! The effect of each mark.

use super::acts::{Doing, InStep};
use super::clock;
use super::ground::{entity, within};
use super::shape::Node;
use super::way::Way;
use super::world::{Key, Place, World};
use crate::check::ledger::diagram::{NEVER, Ref};
use crate::check::ledger::fault::{How, Since, Wrong};
use crate::model::registers::{self, Measurement, Temporary};
use crate::model::{Act, ActKind, Handle, Surface, Thing, handle};
use crate::source::Span;
use std::collections::BTreeSet;

impl Way<'_, '_> {
    /// One mark's effect.
    pub(super) fn act(
        &mut self,
        world: &mut World,
        act: &Act,
        doing: Doing,
        step: InStep,
        touched: &mut BTreeSet<Node>,
    ) {
        let set = self.ground.set;
        match &act.kind {
            ActKind::Fit(item, count) => {
                for node in world.meant(entity(*item), act.member, doing.turn) {
                    world.fit(*item, node, *count, doing);
                    touched.insert(node);
                }
            }
            ActKind::Remove(item, count) => {
                for node in world.meant(entity(*item), act.member, doing.turn) {
                    world.remove(*item, node, *count, doing);
                }
            }
            ActKind::Torque(torque) => {
                for node in world.meant(torque.entity(), act.member, doing.turn) {
                    world.torque(*torque, node, doing);
                }
            }
            ActKind::Snug(torque) => {
                for node in world.meant(torque.entity(), act.member, doing.turn) {
                    world.snug(*torque, node, doing);
                }
            }
            ActKind::Loosen(torque) => {
                for node in world.meant(torque.entity(), act.member, doing.turn) {
                    world.loosen(*torque, node, doing);
                }
            }
            ActKind::Measure(limit, as_found) => self.measure(world, *limit, *as_found, act, doing),
            ActKind::Use(Thing::Temporary(item), _, _) => {
                for node in world.meant(item.entity(), act.member, doing.turn) {
                    world.use_item(*item, node, doing);
                }
            }
            ActKind::Use(Thing::Consumable(consumable), _, Some(onto)) => {
                let (entity, torque) = match onto.what {
                    Surface::Joint(joint) => (joint.entity(), false),
                    Surface::Torque(torque) => (torque.entity(), true),
                };
                for node in world.meant(entity, onto.member, doing.turn) {
                    if torque {
                        world.spread_on_torque(consumable.entity(), node, doing);
                    } else {
                        world.spread_on_joint(consumable.entity(), node, step, doing);
                    }
                }
                if torque {
                    self.bare(world, *consumable, step.span, doing);
                }
            }
            ActKind::Use(Thing::Consumable(consumable), _, None) => self.bare(world, *consumable, step.span, doing),
            ActKind::Set(state, value) => {
                for node in world.meant(state.entity(), act.member, doing.turn) {
                    world.put(node, *value, doing);
                    touched.insert(node);
                }
            }
            ActKind::Do(action) => {
                let links = set.links.actions.get(action);
                let mut sets: Vec<(Node, usize)> = Vec::new();
                for (state, value) in links.iter().flat_map(|links| &links.sets) {
                    for node in world.meant(state.entity(), None, doing.turn) {
                        sets.push((node, *value));
                        touched.insert(node);
                    }
                }
                world.act(Node::new(action.entity(), 0), &sets, doing);
            }
            ActKind::Mark(part) => {
                for node in world.meant(part.entity(), act.member, doing.turn) {
                    world.mark(node, doing);
                }
            }
            ActKind::Use(Thing::Tool(_) | Thing::Part(_), ..)
            | ActKind::Need(_)
            | ActKind::Start(_)
            | ActKind::End(_)
            | ActKind::Hold(_)
            | ActKind::Label(_)
            | ActKind::Step { .. }
            | ActKind::See(_)
            | ActKind::Time(_)
            | ActKind::Only
            | ActKind::Wait(_)
            | ActKind::Each
            | ActKind::If(_)
            | ActKind::Repeat(_)
            | ActKind::Stop => {}
        }
    }

    /// A consumable that is used on no joint: a window must time it while it is open, and a wait its cure.
    pub(super) fn bare(
        &mut self,
        world: &mut World,
        consumable: Handle<registers::Consumable>,
        step: Span,
        doing: Doing,
    ) {
        let set = self.ground.set;
        let entry = &set.catalogue.consumables[consumable];
        world.event(doing.at, How::Used);
        if entry.cure.is_some() {
            let key = Key::Bare(consumable.entity(), step);
            world.bare.insert(key);
            world.set(key, doing.guard, |_| 1);
            let node = Node::new(consumable.entity(), 0);
            world.meanwhile(doing.guard, &clock::What::WaitStarts(node));
        }
        let Some(open) = &entry.open else { return };
        let mut timed = NEVER;
        for key in world.running.clone() {
            let Key::Clock(node) = key else { continue };
            let limit = handle(node.entity).and_then(|timer| within(set, timer));
            if limit.is_some_and(|limit| limit <= open.value) {
                let runs = world.clocks_where(key, clock::State::runs);
                timed = world.diagrams.or(timed, runs);
            }
        }
        let bad = world.diagrams.without(doing.guard, timed);
        world.wrong(
            bad,
            Wrong::OpenNotTimed { consumable },
            Place::Here(doing.at),
            Vec::new(),
        );
    }

    pub(super) fn measure(
        &mut self,
        world: &mut World,
        limit: Handle<Measurement>,
        as_found: bool,
        act: &Act,
        doing: Doing,
    ) {
        for node in world.meant(limit.entity(), act.member, doing.turn) {
            let mut answer = None;
            if !as_found && self.ground.asked.contains(&limit) {
                let times = self.reads.entry((node.entity, node.member)).or_default();
                let asking = (node.entity, node.member, *times);
                let known = self.answers.known.get(&asking);
                self.readings.push(asking);
                *times += 1;
                answer = known.map(|(variable, leaves)| world.diagrams.of_variable(*variable, leaves));
            }
            world.measure(node, as_found, answer, doing);
            self.worked_out(world, limit, doing);
        }
    }

    /// A calculation is worked out of readings that have been taken.
    pub(super) fn worked_out(&mut self, world: &mut World, calc: Handle<Measurement>, doing: Doing) {
        let Some(facts) = self.ground.calcs.calcs.get(&calc) else {
            return;
        };
        let readings: BTreeSet<Handle<Measurement>> = facts.readings.values().copied().collect();
        for reading in readings {
            for node in world.meant(reading.entity(), None, doing.turn) {
                // What isn't there at all is told at the entry.
                let there = world.there(node.entity);
                let guard = world.diagrams.and(doing.guard, there);
                let read = world.test(Key::Read(node), |read| read == 1);
                let bad = world.diagrams.without(guard, read);
                let declared = Place::Told(Since {
                    at: self.ground.set.catalogue.limits.get(reading).id.span,
                    how: How::AtStart,
                });
                let wrong = Wrong::NotRead { calc, reading };
                world.wrong(bad, wrong, Place::Here(doing.at), vec![declared]);
            }
        }
    }

    /// What temporary items keep is judged when the step is done, where it has touched either.
    pub(super) fn keep(&mut self, world: &mut World, touched: &BTreeSet<Node>, acts: &[(Ref, &Act)]) {
        let shape = self.ground.shape;
        for node in touched {
            let item: Option<Handle<Temporary>> = handle(node.entity);
            let keepers = match item {
                Some(_) if shape.keepers.contains_key(node) => vec![*node],
                Some(_) => continue,
                None => shape.keepers.get(node).cloned().unwrap_or_default(),
            };
            for keeper in keepers {
                // Fitted and set in one step is told once, at the fit.
                if keeper == *node || !touched.contains(&keeper) {
                    self.kept(world, keeper, *node, acts);
                }
            }
        }
    }

    pub(super) fn kept(&mut self, world: &mut World, keeper: Node, touched: Node, acts: &[(Ref, &Act)]) {
        let shape = self.ground.shape;
        let Some(item) = handle::<Temporary>(keeper.entity) else {
            return;
        };
        let on = world.pieces(keeper, |p| p.on() > 0);
        // The last mark of the step that touched it.
        let of = |act: &Act| {
            let (fits, sets) = match &act.kind {
                ActKind::Fit(fitted, _) => (Some(entity(*fitted)), None),
                ActKind::Set(state, _) => (Some(state.entity()), None),
                ActKind::Do(action) => (None, self.ground.set.links.actions.get(action)),
                ActKind::Torque(_)
                | ActKind::Snug(_)
                | ActKind::Loosen(_)
                | ActKind::Measure(..)
                | ActKind::Remove(..)
                | ActKind::Use(..)
                | ActKind::Need(_)
                | ActKind::Start(_)
                | ActKind::End(_)
                | ActKind::Hold(_)
                | ActKind::Label(_)
                | ActKind::Step { .. }
                | ActKind::See(_)
                | ActKind::Time(_)
                | ActKind::Only
                | ActKind::Wait(_)
                | ActKind::Mark(_)
                | ActKind::Each
                | ActKind::If(_)
                | ActKind::Repeat(_)
                | ActKind::Stop => (None, None),
            };
            let set = sets
                .iter()
                .flat_map(|links| &links.sets)
                .map(|(state, _)| state.entity());
            let meant = act.member.is_none_or(|member| member == touched.member);
            meant && fits.into_iter().chain(set).any(|entity| entity == touched.entity)
        };
        let Some((guard, act)) = acts.iter().rev().find(|(_, act)| of(act)) else {
            return;
        };
        let fitted = touched == keeper;
        for (state, values) in &shape.ties(keeper.entity).keeps {
            for state_node in world.meant(state.entity(), None, shape.turn(keeper)) {
                if !fitted && state_node != touched {
                    continue;
                }
                let key = Key::State(state_node);
                let entry = &self.ground.set.catalogue.states[*state];
                for is in (0..entry.values.len()).filter(|is| !values.contains(is)) {
                    let so = world.test(key, |value| value == is as u32 + 1);
                    let bad = world.all(&[*guard, on, so]);
                    let since = match fitted {
                        true => vec![Place::Last(vec![key])],
                        false => vec![Place::Fitted(vec![Key::Item(keeper)])],
                    };
                    let wrong = Wrong::Kept {
                        item,
                        state: *state,
                        is,
                    };
                    world.wrong(bad, wrong, Place::Here(act.span), since);
                }
            }
        }
    }
}
