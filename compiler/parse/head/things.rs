//! Parts, temporary items, consumables and tools.

use super::fields::Fields;
use super::registers::{Consumable, HAZARDS, Hazard, Part, Reuse, Temporary, Tool};
use crate::domain::amount::Amount;
use crate::domain::hazard::GhsPictogram;
use crate::domain::limit::{Interval, Tolerance};
use crate::domain::quantity::{Measure, Written};
use crate::domain::timer::Duration;

/// The words of `reuse:`.
pub(super) const REUSE: [(&str, Reuse); 5] = [
    ("yes", Reuse::Yes),
    ("no", Reuse::No),
    ("inspect", Reuse::Inspect),
    ("true", Reuse::Yes),
    ("false", Reuse::No),
];

/// The words of `hazard:`, one or a list.
pub(super) fn hazards(fields: &mut Fields) -> Vec<Hazard> {
    fields.words("hazard", &HAZARDS)
}

pub(super) fn part(fields: &mut Fields, name: String) -> Part {
    Part {
        name,
        number: fields.text("number"),
        qty: fields.count("qty").map_or(1, |q| q.value),
        price: fields.text("price"),
        reuse: fields.word("reuse", &REUSE).unwrap_or_default(),
        fitted: fields.flag("fitted").unwrap_or(true),
        replaces: fields.text("replaces"),
        hazards: hazards(fields),
        note: fields.text("note"),
    }
}

pub(super) fn temporary(fields: &mut Fields, name: String) -> Temporary {
    Temporary {
        name,
        qty: fields.count("qty").map_or(1, |q| q.value),
        flag: fields.text("flag"),
        note: fields.text("note"),
    }
}

pub(super) fn consumable(fields: &mut Fields, name: String) -> Consumable {
    Consumable {
        name,
        amount: fields.value("amount", Amount::parse),
        hazards: fields.all_worded("hazards", GhsPictogram::parse),
        open: fields.value("open", Duration::parse),
        cure: fields.value("cure", Duration::parse),
        price: fields.text("price"),
        note: fields.text("note"),
    }
}

pub(super) fn tool(fields: &mut Fields, name: String) -> Tool {
    Tool {
        name,
        kind: fields.text("kind"),
        range: fields.value("range", |t| Interval::parse(t, &[])),
        step: fields.value("step", Measure::parse),
        drive: fields.value("drive", Written::parse),
        accuracy: fields.value("accuracy", |t| Tolerance::parse(t, &[])),
        length: fields.value("length", Written::parse),
        resolution: fields.value("resolution", Measure::parse),
        number: fields.text("number"),
        hazards: hazards(fields),
        note: fields.text("note"),
    }
}
