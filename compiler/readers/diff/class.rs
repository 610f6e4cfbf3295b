//! How much a change matters at the bench: the one table of classes, and the order in which changes are told.

use super::model::{Change, Kind};
use serde::Serialize;

/// Worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Default)]
#[serde(rename_all = "lowercase")]
pub enum Class {
    /// A barrier or a hazard: messages and how to avoid what they warn of, holds and who signs, states, what may be done only when,
    /// where work may stop, what a thing is hazardous for; and a figure that stayed while its unit changed.
    Hazard,
    /// A figure that is tightened to, measured against, waited for or poured.
    Figure,
    /// What is done when.
    Order,
    /// What is fitted, used or laid out.
    Part,
    #[default]
    Words,
}

impl Class {
    pub fn word(self) -> &'static str {
        match self {
            Class::Hazard => "hazard",
            Class::Figure => "figure",
            Class::Order => "order",
            Class::Part => "part",
            Class::Words => "words",
        }
    }
}

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
        Kind::Value | Kind::EntryAdded | Kind::EntryRemoved => match (register, change.field.as_str()) {
            _ if change.unit_slip => Class::Hazard,
            ("holds", _) | (_, "hazards") => Class::Hazard,
            (_, "name" | "what" | "why" | "note") if change.kind == Kind::Value => Class::Words,
            ("torques" | "limits" | "timers" | "patterns", _) => Class::Figure,
            ("consumables", "amount") => Class::Figure,
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
