//! What lies open once the way is made: what to look at while it is no extra work.

use super::data::{Later, Open};
use super::machine::{Deed, Machine, Thing};
use super::price;
use super::problem::{Clause, holds};
use super::search::{Found, least};
use super::steps::{self, said, time};
use super::tell::name;
use crate::check::machine::Node;
use crate::check::walk::Flow;
use crate::model::Choices;

/// Parts that lie open after some acts and didn't before, and those that came off and wear: those that wear first, in register order.
pub fn open(flow: &Flow, choices: &Choices, machine: &mut Machine, acts: &[usize]) -> Vec<Open> {
    let goal = std::mem::take(&mut machine.problem.goal);
    let aimed = |clause: &Clause, thing: usize| clause.iter().any(|literal| literal.variable == thing);
    let seats: Vec<Node> = machine
        .shape
        .places
        .iter()
        .filter_map(|place| place.parts.first())
        .copied()
        .collect();
    let full: Vec<Node> = seats
        .into_iter()
        .filter(|seat| !machine.sits(*seat).is_empty())
        .collect();
    let ways: Vec<(Node, Vec<Clause>)> = full.into_iter().map(|seat| (seat, machine.open(seat))).collect();
    let start = machine.problem.start.clone();
    let mut end = start.clone();
    for act in acts.iter().filter_map(|act| machine.problem.acts.get(*act)) {
        end = act.done(&end);
    }
    let removed = |seat: Node| {
        let mut deeds = acts.iter().filter_map(|act| machine.deeds.get(*act));
        deeds.any(|deed| *deed == Deed::Remove(seat))
    };
    let mut found: Vec<(Node, bool)> = Vec::new();
    for (seat, clauses) in &ways {
        let lies = |standing: &[u8]| clauses.iter().all(|clause| holds(clause, standing));
        let off = removed(*seat);
        let index = machine.problem.acts.iter().zip(&machine.deeds);
        let own = index
            .filter(|(_, deed)| **deed == Deed::Remove(*seat))
            .find_map(|(act, _)| act.brings.first());
        let is_goal = own.is_some_and(|(variable, _)| goal.iter().any(|clause| aimed(clause, *variable)));
        let wears = machine.sits(*seat).iter().any(|node| wears(machine, *node));
        if !is_goal && (off && wears || !off && lies(&end) && !lies(&start)) {
            found.push((*seat, off));
        }
    }
    let mut all: Vec<Open> = Vec::new();
    for (seat, off) in found {
        let node = machine.sits(seat).first().copied().unwrap_or(seat);
        let wear = wears(machine, node);
        let named = name(machine.shape, node);
        let successor = price::successor(machine.shape, node).unwrap_or(node);
        let cost = machine.shape.part(successor).and_then(price::price);
        let (mut now, mut later) = (None, None);
        if wear {
            machine.problem.start.clone_from(&end);
            now = way(machine, seat).map(|acts| acts.len());
            machine.problem.start.clone_from(&start);
            // As if nothing had been done yet.
            later = way(machine, seat).map(|acts| {
                let deeds = acts.iter().filter_map(|act| machine.deeds.get(*act));
                let does: Vec<_> = deeds.map(|deed| steps::doing(flow, choices, machine, deed)).collect();
                let (time, untimed) = time(&does);
                Later {
                    acts: acts.len(),
                    time: time.map(|time| said(&time)),
                    untimed,
                }
            });
        }
        all.push(Open {
            id: named.id,
            name: named.name,
            wear,
            off,
            price: cost.map(|price| price.text()),
            now,
            later,
        });
    }
    machine.problem.goal = goal;
    all.sort_by_key(|open| !open.wear);
    all
}

/// The least way to have what sits in a place off.
fn way(machine: &mut Machine, seat: Node) -> Option<Vec<usize>> {
    machine.problem.goal.clear();
    machine.want(Thing::Seat(seat), 0);
    match least(&machine.problem) {
        Found::Way { acts, .. } => Some(acts),
        Found::None(_) | Found::TooMany => None,
    }
}

fn wears(machine: &Machine, node: Node) -> bool {
    machine.shape.part(node).is_some_and(|part| part.wear)
}
