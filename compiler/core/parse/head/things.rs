//! Parts, temporary items, consumables and tools.

use super::fields::Fields;
use super::ties::{keeps, ties};
use crate::domain::amount::Amount;
use crate::domain::hazard::GhsPictogram;
use crate::domain::limit::{Interval, Tolerance};
use crate::domain::quantity::{Dimension, Measure, Scan, ValueError, ValueErrorKind, Written};
use crate::domain::timer::Duration;
use crate::domain::tool::Deviation;
use crate::parse::texts::split_while;
use crate::parse::value;
use crate::syntax::Name;
use crate::syntax::registers::{Consumable, HAZARDS, Hazard, Part, Reuse, Temporary, Tool};
use crate::syntax::ties::Tie;

/// The words of `reuse:`.
pub(super) const REUSE: [(&str, Reuse); 5] = [
    ("yes", Reuse::Yes),
    ("no", Reuse::No),
    ("inspect", Reuse::Inspect),
    ("true", Reuse::Yes),
    ("false", Reuse::No),
];

/// The words of a part's `finish:`.
const ON_OFF: [(&str, bool); 2] = [("on", true), ("off", false)];

/// The words of `hazard:`, one or a list.
pub(super) fn hazards(fields: &mut Fields) -> Vec<Hazard> {
    fields.words("hazard", &HAZARDS)
}

/// A price as written; a comma in its figure, which kits can't read, is reported.
fn price(fields: &mut Fields) -> Option<Name> {
    let price = fields.text("price")?;
    let (lead, figure) = split_while(&price.text, |c| !c.is_ascii_digit());
    if !figure.is_empty()
        && let Err(error) = Scan::new(figure).number()
        && matches!(error.kind, ValueErrorKind::CommaInNumber { .. })
    {
        let finding = value::finding(price.span, &error.shifted(lead.len()));
        fields.findings().push(finding);
    }
    Some(price)
}

/// What a part may say of others.
const OF_PARTS: [Tie; 9] = [
    Tie::Secures,
    Tie::Covers,
    Tie::Contains,
    Tie::Needs,
    Tie::NeverWith,
    Tie::ToFit,
    Tie::ToRemove,
    Tie::Only,
    Tie::Each,
];

/// What a temporary item may say of others.
const OF_TEMPORARY: [Tie; 7] = [
    Tie::Covers,
    Tie::Needs,
    Tie::NeverWith,
    Tie::ToFit,
    Tie::ToRemove,
    Tie::Only,
    Tie::Each,
];

pub(super) fn part(fields: &mut Fields, name: String) -> Part {
    let replaces = fields.text("replaces");
    Part {
        name,
        number: fields.text("number"),
        qty: fields.count("qty").map_or(1, |q| q.value),
        price: price(fields),
        reuse: fields.word("reuse", &REUSE).unwrap_or_default(),
        fitted: fields.flag("fitted").unwrap_or(replaces.is_none()),
        replaces,
        renew: fields.flag("renew").unwrap_or(false),
        spares: fields.count("spares").map_or(0, |spares| spares.value),
        marked: fields.flag("marked").unwrap_or(false),
        wear: fields.flag("wear").unwrap_or(false),
        finish: fields.word("finish", &ON_OFF),
        ties: ties(fields, &OF_PARTS),
        hazards: hazards(fields),
        note: fields.text("note"),
    }
}

pub(super) fn temporary(fields: &mut Fields, name: String) -> Temporary {
    Temporary {
        name,
        qty: fields.count("qty").map_or(1, |q| q.value),
        flag: fields.text("flag"),
        keeps: keeps(fields),
        perilous: fields.flag("unsafe").unwrap_or(false),
        ties: ties(fields, &OF_TEMPORARY),
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
        price: price(fields),
        note: fields.text("note"),
    }
}

pub(super) fn tool(fields: &mut Fields, name: String) -> Tool {
    let kind = fields.text("kind");
    let reads = match kind.as_ref().map(|kind| kind.text.as_str()) {
        Some("torque-wrench") => Some(Dimension::Torque),
        Some("angle-gauge") => Some(Dimension::Angle),
        _ => None,
    };
    Tool {
        name,
        kind,
        range: fields.value("range", |t| Interval::parse(t, &[]).map_err(|e| of_range(e, t, reads))),
        step: fields.value("step", |t| Measure::parse(t).map_err(|e| of_dimension(e, reads))),
        drive: fields.value("drive", Written::parse),
        accuracy: fields.value("accuracy", |t| Tolerance::parse(t, &[])),
        deviation: fields.value("deviation", Deviation::parse),
        length: fields.value("length", Written::parse),
        resolution: fields.value("resolution", Measure::parse),
        number: fields.text("number"),
        calibrated_until: fields.date("calibrated-until"),
        hazards: hazards(fields),
        note: fields.text("note"),
    }
}

/// A missing unit said to be one of what the tool reads, if that is known.
fn of_dimension(error: ValueError, reads: Option<Dimension>) -> ValueError {
    match error.kind {
        ValueErrorKind::MissingUnit { expected: None } => ValueError {
            at: error.at,
            kind: ValueErrorKind::MissingUnit { expected: reads },
        },
        _ => error,
    }
}

/// The same for a range, which is then shown whole.
fn of_range(error: ValueError, text: &str, reads: Option<Dimension>) -> ValueError {
    let unit = reads.map_or("mm", Dimension::example_unit);
    match (&error.kind, Interval::parse(&format!("{text} {unit}"), &[])) {
        (ValueErrorKind::MissingUnit { .. }, Ok(range)) => ValueError {
            at: 0..text.len(),
            kind: ValueErrorKind::RangeWithoutUnit {
                suggestion: format!("{}..{} {unit}", range.low().figure(), range.high().figure()),
            },
        },
        _ => of_dimension(error, reads),
    }
}
