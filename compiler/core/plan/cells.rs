//! What a step touches: two steps that touch the same thing keep their order, unless both only look.

use crate::check::calc::Calc;
use crate::model::registers::{Measurement, Part, State, Temporary, Timer, Torque};
use crate::model::ties::{Need, Wanted};
use crate::model::{ActKind, Entity, Handle, Item, Set, Thing, handle};
use std::collections::BTreeMap;

/// A thing whose condition the job changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cell {
    /// The place of a part: what replaces it shares it.
    Part(Handle<Part>),
    Temporary(Handle<Temporary>),
    Torque(Handle<Torque>),
    State(Handle<State>),
    Timer(Handle<Timer>),
    /// The readings of a measurement.
    Readings(Handle<Measurement>),
}

/// Things touched, and whether they are changed.
pub type Touched = BTreeMap<Cell, bool>;

/// True if two blocks must keep their order.
pub fn conflict(one: &Touched, other: &Touched) -> bool {
    one.iter()
        .any(|(cell, changed)| other.get(cell).is_some_and(|c| *c || *changed))
}

/// Adds what an act touches.
pub fn touch(set: &Set, calcs: &BTreeMap<Handle<Measurement>, Calc>, kind: &ActKind, touched: &mut Touched) {
    let mut add = |cell, changes: bool| *touched.entry(cell).or_insert(false) |= changes;
    match kind {
        ActKind::Fit(item, _) | ActKind::Remove(item, _) => add(item_cell(set, *item), true),
        ActKind::Use(Thing::Part(part), ..) => add(item_cell(set, Item::Part(*part)), false),
        ActKind::Use(Thing::Temporary(item), ..) => add(Cell::Temporary(*item), false),
        ActKind::Torque(torque) | ActKind::Snug(torque) | ActKind::Loosen(torque) => add(Cell::Torque(*torque), true),
        ActKind::Set(state, _) => add(Cell::State(*state), true),
        ActKind::Need(need) => asked(set, need, &mut add),
        ActKind::Do(action) => {
            for need in &set.links.ties(action.entity()).needs {
                asked(set, need, &mut add);
            }
            let links = set.links.actions.get(action);
            for (state, _) in links.iter().flat_map(|links| &links.sets) {
                add(Cell::State(*state), true);
            }
        }
        ActKind::Start(timer) | ActKind::End(timer) => add(Cell::Timer(*timer), true),
        ActKind::Measure(limit, _) => {
            add(Cell::Readings(*limit), true);
            let readings = calcs.get(limit).into_iter().flat_map(|c| c.readings.values());
            readings.for_each(|reading| add(Cell::Readings(*reading), false));
        }
        ActKind::Use(..)
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
        | ActKind::Stop => {}
    }
}

/// What a condition asks about.
fn asked(set: &Set, need: &Need, add: &mut impl FnMut(Cell, bool)) {
    match &need.what {
        Wanted::State(state, _) => add(Cell::State(*state), false),
        Wanted::Loose(thing) => add_thing(set, *thing, add),
        Wanted::Met(things) | Wanted::Off(things) => {
            for thing in things {
                add_thing(set, *thing, add);
            }
        }
    }
}

fn add_thing(set: &Set, thing: Entity, add: &mut impl FnMut(Cell, bool)) {
    if let Some(part) = handle(thing) {
        add(item_cell(set, Item::Part(part)), false);
    } else if let Some(item) = handle(thing) {
        add(Cell::Temporary(item), false);
    } else if let Some(torque) = handle(thing) {
        add(Cell::Torque(torque), false);
    } else if let Some(limit) = handle(thing) {
        add(Cell::Readings(limit), false);
    }
}

fn item_cell(set: &Set, item: Item) -> Cell {
    match item {
        Item::Temporary(item) => Cell::Temporary(item),
        Item::Part(part) => {
            let mut root = part;
            // A chain of replacements is short; one that runs in a circle stops somewhere on it.
            for _ in 0..64 {
                let Some(old) = set.links.replaces.get(&root) else {
                    break;
                };
                root = *old;
            }
            Cell::Part(root)
        }
    }
}
