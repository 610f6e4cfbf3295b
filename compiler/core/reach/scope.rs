//! What the steps of a set never reach for some choices.

use super::data::{Named, Scope};
use super::machine::{Machine, Thing};
use super::price::Prices;
use super::problem::{Clause, holds};
use super::tell::name;
use crate::check::machine::{Node, Shape};
use crate::check::walk::{Flow, OnItem, What, play};
use crate::kit::chosen;
use crate::model::{Choices, Entity, Item, Set, Thing as Used};
use std::collections::{BTreeMap, BTreeSet};

/// The parts that no step touches for some choices, and that never lie open.
pub fn scope(set: &Set, choices: &Choices) -> Scope {
    let shape = Shape::new(set);
    let prices = Prices::new(&shape);
    let flow = Flow::new(set);
    let mut machine = Machine::apart(&shape, choices, &prices);
    let parts: Vec<Node> = shape
        .parts()
        .into_iter()
        .filter(|node| machine.there(node.entity))
        .collect();
    let ways: Vec<(Node, Vec<Clause>)> = parts.iter().map(|node| (*node, machine.open(*node))).collect();
    let mut standing = machine.problem.start.clone();
    let mut reached: BTreeSet<Node> = BTreeSet::new();
    look(&ways, &standing, &mut reached);
    let mut on: BTreeMap<Entity, u32> = BTreeMap::new();
    for event in play(&flow, choices).events() {
        let (entity, moved) = match event.what {
            What::Item(Item::Part(part), OnItem::Fit(_) | OnItem::Remove(_)) => (part.entity(), true),
            What::Item(Item::Temporary(item), OnItem::Fit(_) | OnItem::Remove(_)) => (item.entity(), true),
            What::Use(Used::Part(part), _) => (part.entity(), false),
            What::Item(_, OnItem::Barred(_))
            | What::Use(Used::Tool(_) | Used::Consumable(_) | Used::Temporary(_), _)
            | What::Fastener(..)
            | What::State(..)
            | What::Timer(..)
            | What::Measure(_)
            | What::Do(_)
            | What::Hold(_)
            | What::Work(_)
            | What::Look(_)
            | What::Spread(..)
            | What::Wait(_) => continue,
        };
        reached.extend(parts.iter().filter(|node| node.entity == entity));
        if !moved {
            continue;
        }
        on.insert(entity, event.on);
        stand(&machine, &on, &mut standing);
        look(&ways, &standing, &mut reached);
    }
    let not: Vec<Named> = parts
        .iter()
        .filter(|node| !reached.contains(node))
        .map(|node| name(&shape, *node))
        .collect();
    Scope {
        set: set.id.clone(),
        title: set.title.clone(),
        machine: set.machine.clone(),
        choices: chosen(set, choices),
        parts: parts.len(),
        not_reached: not,
    }
}

fn look(ways: &[(Node, Vec<Clause>)], standing: &[u8], reached: &mut BTreeSet<Node>) {
    let open = ways
        .iter()
        .filter(|(_, clauses)| clauses.iter().all(|clause| holds(clause, standing)));
    reached.extend(open.map(|(node, _)| *node));
}

/// What counts of how many are on: whether any is.
fn stand(machine: &Machine, on: &BTreeMap<Entity, u32>, standing: &mut [u8]) {
    for (variable, way) in standing.iter_mut().enumerate() {
        match machine.thing(variable) {
            Some(Thing::Seat(seat)) => {
                let place = machine.shape.place(seat);
                let known = place
                    .into_iter()
                    .flat_map(|place| &place.parts)
                    .filter_map(|part| on.get(&part.entity));
                let known: Vec<u32> = known.copied().collect();
                if !known.is_empty() {
                    *way = u8::from(known.iter().any(|count| *count > 0));
                }
            }
            Some(Thing::Temporary(node)) => {
                if let Some(count) = on.get(&node.entity) {
                    *way = u8::from(*count > 0);
                }
            }
            Some(
                Thing::Grip(_) | Thing::State(_) | Thing::Valid(_) | Thing::Filled(_) | Thing::Hard(_) | Thing::Wet(_),
            )
            | None => {}
        }
    }
}
