//! What a step touches: two steps that touch the same thing keep their order, unless both only look.

use crate::check::calc::Calc;
use crate::check::walk::What;
use crate::check::walk::event::Touched as Cell;
use crate::model::registers::Measurement;
use crate::model::{Handle, Item, Set};
use std::collections::BTreeMap;

/// Things touched, and whether they are changed.
pub type Touched = BTreeMap<Cell, bool>;

/// True if two blocks must keep their order.
pub fn conflict(one: &Touched, other: &Touched) -> bool {
    one.iter()
        .any(|(cell, changed)| other.get(cell).is_some_and(|c| *c || *changed))
}

/// Adds what an event touches. The place of a part is the one of the part that it replaces, and a calculation looks at its readings.
pub fn touch(set: &Set, calcs: &BTreeMap<Handle<Measurement>, Calc>, what: &What, touched: &mut Touched) {
    let mut add = |cell, changes: bool| *touched.entry(cell).or_insert(false) |= changes;
    let Some((cell, changes)) = what.touches() else { return };
    match cell {
        Cell::Item(Item::Part(part)) => add(Cell::Item(Item::Part(set.links.place_of(part))), changes),
        Cell::Readings(limit) => {
            add(cell, changes);
            let readings = calcs.get(&limit).into_iter().flat_map(|c| c.readings.values());
            readings.for_each(|reading| add(Cell::Readings(*reading), false));
        }
        Cell::Item(Item::Temporary(_)) | Cell::Torque(_) | Cell::State(_) | Cell::Timer(_) => add(cell, changes),
    }
}
