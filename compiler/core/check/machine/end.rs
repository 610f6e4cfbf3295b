//! What is wrong with how a set leaves its machine.

use super::shape::Node;
use super::touches::Touches;
use super::world::{Key, LOOSE, OUT, Place, SNUG, World};
use crate::check::ledger::diagram::{ALWAYS, NEVER, Ref};
use crate::check::ledger::fault::Wrong;
use crate::model::handle;
use crate::model::registers::{Consumable, Joint, Part, Reuse, State, Temporary, Timer, Torque};
use crate::model::{Entity, Handle};
use std::collections::BTreeSet;

/// The list of all steps.
const ALL: usize = 0;

/// Judges the end.
pub fn judge(world: &mut World) {
    world.event(
        crate::source::Span::new(world.shape.set.file, 0, 0),
        crate::check::ledger::fault::How::Ends,
    );
    for piece in [temporary, places, fasteners, joints, states, timers, cures] {
        let (found, began) = (world.found.len(), world.so_far());
        world.touches = Touches::default();
        piece(world);
        world.settle(found, began);
    }
}

/// What was used on no joint, and never waited for.
fn cures(world: &mut World) {
    for key in world.bare.clone() {
        let Key::Bare(entity, _) = key else { continue };
        let Some(consumable) = handle(entity) else { continue };
        let pending = world.test(key, |bare| bare == 1);
        world.wrong_at_end(
            pending,
            Wrong::CureNotTimed { consumable },
            Place::Last(vec![key]),
            Vec::new(),
        );
    }
}

fn temporary(world: &mut World) {
    for node in world.shape.temporary() {
        let item: Option<Handle<Temporary>> = handle(node.entity);
        let (Some(item), Some(entry)) = (item, world.temporary(node)) else {
            continue;
        };
        for on in 1..=entry.qty {
            let so = world.pieces(node, |p| p.on() == on);
            let at = Place::Fitted(vec![Key::Item(node)]);
            world.wrong_at_end(so, Wrong::LeftOn { item, on }, at, Vec::new());
        }
    }
}

/// Where all assemblies are on that something lies in: only then is it asked for.
fn in_machine(world: &mut World, seat: Node) -> Ref {
    let mut on = ALWAYS;
    for outer in world.shape.chain(seat) {
        let carries = world.carries(outer);
        on = world.diagrams.and(on, carries);
    }
    on
}

fn places(world: &mut World) {
    let shape = world.shape;
    let filling: BTreeSet<Node> = shape
        .joints()
        .iter()
        .filter_map(|joint| shape.joint(*joint))
        .flat_map(|joint| joint.places.iter().copied())
        .collect();
    for place in &shape.places {
        let Some(seat) = place.parts.first().copied() else {
            continue;
        };
        for node in &place.parts {
            let Some(part) = handle(node.entity) else { continue };
            let entry = &shape.set.catalogue.parts[part];
            let spent = world.pieces(*node, |p| p.spent > 0);
            let key = vec![Key::Item(*node)];
            let since = vec![Place::BeforeSpent(key.clone())];
            world.wrong_at_end(spent, Wrong::Refitted { part }, Place::Spent(key), since);
            finish(world, *node, part, seat, entry.finish);
        }
        let all_off = place
            .parts
            .iter()
            .all(|node| shape.part(*node).is_none_or(|p| !p.fitted));
        if filling.contains(&seat) || all_off {
            continue;
        }
        left_off(world, seat, &place.parts);
    }
}

/// A part that must be on, or off, at the end whatever it was at the start.
fn finish(world: &mut World, node: Node, part: Handle<Part>, seat: Node, finish: Option<bool>) {
    let there = world.there(node.entity);
    match finish {
        Some(true) => {
            let whole = world.whole(seat);
            let inside = in_machine(world, seat);
            let bad = world.diagrams.without(there, whole);
            let bad = world.diagrams.and(bad, inside);
            let at = Place::Removed(vec![Key::Item(node)]);
            world.wrong_at_end(bad, Wrong::WrongEnd { part, on: true }, at, Vec::new());
        }
        Some(false) => {
            let on = world.pieces(node, |p| p.on() > 0);
            let bad = world.diagrams.and(there, on);
            let at = Place::Fitted(vec![Key::Item(node)]);
            world.wrong_at_end(bad, Wrong::WrongEnd { part, on: false }, at, Vec::new());
        }
        None => {}
    }
}

/// A place that was full at the start is full at the end, but for single-use parts that nothing is there to replace.
fn left_off(world: &mut World, seat: Node, parts: &[Node]) {
    let shape = world.shape;
    let mut was_full = NEVER;
    let mut excused = ALWAYS;
    for (index, node) in parts.iter().enumerate() {
        let Some(entry) = shape.part(*node) else { continue };
        let there = world.there(node.entity);
        if entry.finish.is_some() {
            // That has its own finding.
            let stays = world.diagrams.not(there);
            was_full = world.diagrams.and(was_full, stays);
            if index == 0 {
                return;
            }
            continue;
        }
        if entry.fitted {
            was_full = world.diagrams.or(was_full, there);
        }
        let for_good = entry.reuse == Reuse::No && !entry.renew && entry.fitted;
        let back = if for_good { NEVER } else { there };
        excused = world.diagrams.without(excused, back);
    }
    let whole = world.whole(seat);
    let inside = in_machine(world, seat);
    let bad = world.diagrams.without(was_full, whole);
    let bad = world.diagrams.without(bad, excused);
    let bad = world.diagrams.and(bad, inside);
    let Some(part) = handle(seat.entity) else { return };
    let keys = world.keys(seat);
    let full = shape.part(seat).map_or(1, |entry| entry.qty);
    let mut sum = Ref::Leaf(0);
    for node in parts {
        let now = world.value(Key::Item(*node));
        let numbers = &world.pieces;
        sum = world.diagrams.combine(sum, now, &mut |sum, leaf| {
            sum + numbers.get(leaf).map_or(0, |pieces| pieces.on())
        });
    }
    for on in 0..full {
        let so = world.diagrams.map(sum, &mut |sum| u32::from(sum == on));
        let so = world.diagrams.and(bad, so);
        let missing = full - on;
        world.wrong_at_end(
            so,
            Wrong::LeftOff { part, missing },
            Place::Removed(keys.clone()),
            Vec::new(),
        );
    }
    let more = world.diagrams.map(sum, &mut |sum| u32::from(sum >= full));
    let so = world.diagrams.and(bad, more);
    world.wrong_at_end(
        so,
        Wrong::LeftOff { part, missing: full },
        Place::Removed(keys),
        Vec::new(),
    );
}

fn fasteners(world: &mut World) {
    for node in world.shape.torques() {
        let torque: Option<Handle<Torque>> = handle(node.entity);
        let Some(torque) = torque else { continue };
        let there = world.there(node.entity);
        let inside = in_machine(world, node);
        let asked = world.diagrams.and(there, inside);
        let key = vec![Key::Grip(node)];
        for (grip, snug) in [(LOOSE, false), (SNUG, true)] {
            let so = world.test(Key::Grip(node), |leaf| leaf == grip);
            let bad = world.diagrams.and(asked, so);
            let since = if snug {
                vec![Place::Before(key.clone())]
            } else {
                Vec::new()
            };
            world.wrong_at_end(
                bad,
                Wrong::LeftLoose { torque, snug },
                Place::Changed(key.clone()),
                since,
            );
        }
        let out = world.test(Key::Grip(node), |leaf| leaf == OUT);
        let held = world.shape.holds(node).to_vec();
        let own = world.shape.fastener_part(node);
        let places: Vec<Node> = if held.is_empty() {
            own.into_iter().collect()
        } else {
            held
        };
        let mut on = NEVER;
        let mut keys = Vec::new();
        for place in places {
            let any = world.any_on(place);
            on = world.diagrams.or(on, any);
            keys.extend(world.keys(place));
        }
        let bad = world.all(&[asked, out, on]);
        world.wrong_at_end(bad, Wrong::LeftOut { torque }, Place::Fitted(keys), Vec::new());
    }
}

fn joints(world: &mut World) {
    for node in world.shape.joints() {
        let joint: Option<Handle<Joint>> = handle(node.entity);
        let Some(joint) = joint else { continue };
        let there = world.there(node.entity);
        let inside = in_machine(world, node);
        let closed = world.closed(node);
        let shut = world.all(&[there, inside, closed]);
        let right = world.filled_wrongly(node, shut, Place::Step(ALL), true);
        let hard = world.test(Key::Hard(node), |hard| hard == 1);
        let soft = world.diagrams.without(right, hard);
        let consumables: Vec<Entity> = world.shape.joint(node).map_or_else(Vec::new, |j| j.consumables.clone());
        for (position, entity) in consumables.iter().enumerate() {
            let cures = world.consumable(*entity).is_some_and(|c| c.cure.is_some());
            let consumable: Option<Handle<Consumable>> = handle(*entity);
            let (true, Some(consumable)) = (cures, consumable) else {
                continue;
            };
            let inside = world.test(Key::Filling(node), |bits| bits & 1 << position.min(30) != 0);
            let bad = world.diagrams.and(soft, inside);
            let closing = Place::Closing(node);
            let since = vec![Place::Changed(vec![Key::Filling(node)])];
            world.wrong_at_end(bad, Wrong::NeverWaited { joint, consumable }, closing, since);
        }
    }
}

fn states(world: &mut World) {
    for node in world.shape.states() {
        let state: Option<Handle<State>> = handle(node.entity);
        let Some(state) = state else { continue };
        let entry = &world.shape.set.catalogue.states[state];
        let finish = entry.finish.as_ref();
        let finish = finish.and_then(|f| entry.values.iter().position(|v| v.text == f.text));
        let Some(finish) = finish else { continue };
        let key = Key::State(node);
        let start = entry.start.as_ref().map(|start| start.span);
        for is in (0..entry.values.len()).filter(|is| *is != finish) {
            let so = world.test(key, |leaf| leaf == is as u32 + 1);
            let at = match start {
                Some(start) => Place::LastOr(vec![key], start),
                None => Place::Last(vec![key]),
            };
            world.wrong_at_end(so, Wrong::WrongFinish { state, is, finish }, at, Vec::new());
        }
    }
}

fn timers(world: &mut World) {
    for key in world.running.clone() {
        let Key::Clock(node) = key else { continue };
        let timer: Option<Handle<Timer>> = handle(node.entity);
        let Some(timer) = timer else { continue };
        let runs = world.clocks_where(key, super::clock::State::runs);
        world.wrong_at_end(runs, Wrong::NeverEnded { timer }, Place::Started(key), Vec::new());
    }
}
