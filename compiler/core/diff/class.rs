//! How much a change matters at the bench: the one table of classes, and the order in which changes are told.

use super::field::Field;
use super::model::{Change, Class, Kind};

/// Gives each change its class, and puts them in the order in which they are told.
pub fn put(changes: &mut [Change]) {
    for change in changes.iter_mut() {
        change.class = class(change);
    }
    changes.sort_by_key(|c| (c.class, c.kind));
}

fn class(change: &Change) -> Class {
    let register = change.place.register.as_str();
    match change.kind {
        Kind::MessageDropped
        | Kind::MessageWeakened
        | Kind::MessageAdded
        | Kind::MessageStrengthened
        | Kind::MessageReworded
        | Kind::StepGuard
        | Kind::CarriedGuard
        | Kind::Stop => Class::Hazard,
        Kind::Value | Kind::EntryAdded | Kind::EntryRemoved => match (register, &change.field) {
            _ if change.unit_slip => Class::Hazard,
            ("holds", _) | (_, Field::Hazards) => Class::Hazard,
            (_, Field::Name | Field::What | Field::Why | Field::Note) if change.kind == Kind::Value => Class::Words,
            ("torques" | "limits" | "timers" | "patterns", _) => Class::Figure,
            ("consumables", Field::Amount) => Class::Figure,
            ("options", _) => Class::Order,
            _ => Class::Part,
        },
        Kind::StepRemoved | Kind::StepAdded | Kind::StepMoved | Kind::StepCondition | Kind::Order => Class::Order,
        Kind::StepWork => match change.ratio.is_empty() {
            true => Class::Part,
            false => Class::Figure,
        },
        Kind::Carried => Class::Part,
        Kind::StepReworded | Kind::Words | Kind::Numbers => Class::Words,
    }
}
