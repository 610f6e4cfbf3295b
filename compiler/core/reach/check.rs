//! What the registers say that no machine can be: parts that wait for each other, and parts that nothing has off.

use super::machine::{Deed, Machine, Thing};
use super::price::Prices;
use super::problem::{Literal, Stuck};
use super::rules::{no_way_off, secures_nothing, stuck_in_a_circle};
use super::search;
use super::tell::reason;
use crate::check::machine::{Node, Shape};
use crate::finding::Finding;
use crate::model::registers::Register;
use crate::model::{Choices, Entity, Set, all_assigned};
use crate::source::Span;
use std::collections::BTreeSet;

/// Most combinations of choices that are looked at.
const MOST: usize = 24;

/// Findings about one set that has no error.
pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    secures_nothing::check(set, findings);
    let tells = |ties: &crate::model::ties::Ties| !ties.secures.is_empty() || !ties.covers.is_empty();
    if !set.links.ties.values().any(tells) {
        return;
    }
    let shape = Shape::new(set);
    let prices = Prices::new(&shape);
    // The defaults come first: what is so for them needs no words about choices.
    let mut told: BTreeSet<Vec<Node>> = BTreeSet::new();
    let mut out: BTreeSet<Node> = BTreeSet::new();
    for (choices, words) in combinations(set) {
        let mut machine = Machine::apart(&shape, &choices, &prices);
        let seats: Vec<Node> = shape
            .places
            .iter()
            .filter_map(|place| place.parts.first())
            .copied()
            .collect();
        // A goal brings no variable of its own along: every seat has one.
        for seat in &seats {
            machine.want(Thing::Seat(*seat), 0);
        }
        let seen = machine.problem.seen();
        let removals = machine.removals();
        for seat in seats {
            if machine.sits(seat).is_empty() {
                continue;
            }
            machine.problem.goal.clear();
            machine.want(Thing::Seat(seat), 0);
            let stuck = machine.problem.stuck(&seen);
            let circle = match &stuck {
                Some(stuck) => round(&machine, stuck),
                None => (removals.get(&seat)).and_then(|own| against_itself(&mut machine, seat, *own)),
            };
            if let Some(circle) = circle {
                let mut key = circle.clone();
                key.sort();
                if told.insert(key) {
                    let path: Vec<(Span, String)> = circle.iter().filter_map(|node| place(&shape, *node)).collect();
                    findings.extend(stuck_in_a_circle::finding(&path, &words));
                }
            } else if let Some(stuck) = stuck.filter(|stuck| stuck.round.is_none())
                && let Some((at, id)) = machine.sits(seat).first().and_then(|node| place(&shape, *node))
                && is_first(&machine, &stuck)
                && out.insert(seat)
            {
                findings.push(no_way_off::finding(at, &id, &reason(&machine, &stuck), &words));
            }
        }
    }
}

/// True if it is the part itself that lacks something, and not one that has to come off before it, which is told of itself.
fn is_first(machine: &Machine, stuck: &Stuck) -> bool {
    let mut removals = stuck.acts.iter().filter_map(|act| machine.deeds.get(*act));
    removals.next();
    !removals.any(|deed| matches!(deed, Deed::Remove(_)))
}

fn place(shape: &Shape, node: Node) -> Option<(Span, String)> {
    let id = shape.set.catalogue.id(node.entity)?;
    Some((id.span, shape.called(node)))
}

fn about(machine: &Machine, deed: &Deed) -> Option<Node> {
    match deed {
        Deed::Remove(seat) => machine.sits(*seat).first().copied(),
        Deed::Loosen(node) | Deed::Put(node) | Deed::Take(node) | Deed::Measure(node) => Some(*node),
        Deed::Do(entity) => Some(Node::new(*entity, 0)),
        Deed::Set(entity, _) => Some(Node::new(*entity, 0)),
        Deed::Fit(_) | Deed::Tighten(_) | Deed::Spread(..) | Deed::Wait(_) => None,
    }
}

fn round(machine: &Machine, stuck: &Stuck) -> Option<Vec<Node>> {
    let acts = stuck.acts.iter().skip(stuck.round?);
    let deeds = acts.filter_map(|act| machine.deeds.get(*act));
    Some(deeds.filter_map(|deed| about(machine, deed)).collect())
}

/// A part that has to be on for something which has to be done after it is off: the two wait for each other. `own` is the act that takes it off.
fn against_itself(machine: &mut Machine, seat: Node, own: usize) -> Option<Vec<Node>> {
    // Worked out only for the few that ask for something to be on.
    let mut musts = None;
    let asks = machine.problem.acts.get(own).map(|act| act.asks.clone())?;
    for clause in asks {
        let [Literal { variable, .. }] = clause.as_slice() else {
            continue;
        };
        let Some(Thing::Seat(other)) = machine.thing(*variable) else {
            continue;
        };
        let on = clause.iter().all(|literal| literal.allows(1) && !literal.allows(0));
        let off = |act: &usize| machine.deeds.get(*act) == Some(&Deed::Remove(other));
        if !on || other == seat {
            continue;
        }
        let musts = musts.get_or_insert_with(|| search::musts(&machine.problem));
        if musts.iter().any(off) {
            let first = machine.sits(seat).first().copied()?;
            let second = machine.sits(other).first().copied()?;
            return Some(vec![first, second]);
        }
    }
    None
}

/// Choices under which the machine may be another, each with its words; the defaults stand first and have none.
fn combinations(set: &Set) -> Vec<(Choices, String)> {
    let defaults = Choices::defaults(&set.catalogue);
    let mut all = vec![(defaults.clone(), String::new())];
    let ties = set.links.ties.iter().filter(|(entity, _)| bears(**entity));
    let asked: BTreeSet<usize> = ties
        .flat_map(|(_, ties)| &ties.only)
        .map(|one| one.option.index())
        .collect();
    for (option, def) in set.catalogue.options.iter() {
        if !asked.contains(&option.index()) {
            continue;
        }
        for (choices, _) in all.clone() {
            for value in (0..def.value.values.len()).filter(|value| *value != defaults.value(option)) {
                let mut other = choices.clone();
                other.set(option, value);
                if all.len() < MOST && !never(set, &other) {
                    let words = words(set, &other);
                    all.push((other, words));
                }
            }
        }
    }
    all
}

/// What the machine consists of, as far as it bears on what comes off.
fn bears(entity: Entity) -> bool {
    matches!(
        entity.register,
        Register::Parts | Register::Temporary | Register::Torques | Register::Joints
    )
}

/// True of choices that don't go together.
pub fn never(set: &Set, choices: &Choices) -> bool {
    set.never.iter().any(|never| choices.meet(&never.pairs))
}

/// ` with scope=all`, of the choices that aren't the defaults.
fn words(set: &Set, choices: &Choices) -> String {
    let defaults = Choices::defaults(&set.catalogue);
    let options = set.catalogue.options.iter();
    let changed = options.filter(|(option, _)| choices.value(*option) != defaults.value(*option));
    let pairs = changed.filter_map(|(option, def)| {
        let (value, _) = def.value.values.get(choices.value(option))?;
        Some((def.id.text.as_str(), value.text.as_str()))
    });
    format!(" with {}", all_assigned(pairs))
}
