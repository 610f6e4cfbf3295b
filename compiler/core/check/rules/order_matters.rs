//! # Steps in any order that need their order
//!
//! ## What it means
//! Two steps of a bullet list, which may be done in any order, touch the same thing in ways that depend on which comes first: one fits
//! what the other takes off, one loosens what the other tightens, one changes a state that the other needs.
//!
//! ## Why it matters
//! Whoever works from the bottom up does it wrong, and the card says that is right.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! temporary: {plug: port plug}
//! ---
//!
//! - Fit the [fit plug].
//! - Blow through the port and take out the [remove plug].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! temporary: {plug: port plug}
//! ---
//!
//! 1. Fit the [fit plug].
//! 2. Blow through the port and take out the [remove plug].
//! ```

use crate::check::ledger::flow::{Deed, Stop};
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::{ActKind, Item, Set};

pub static RULE: Rule = Rule {
    code: "BL434",
    name: "order-matters",
    severity: Severity::Warning,
    page: include_str!("order_matters.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    let stops = &walked.flow.stops;
    for (index, stop) in stops.iter().enumerate().filter(|(_, stop)| stop.any_order) {
        let same_run = |other: &&Stop| {
            (other.procedure, other.phase.number, other.run) == (stop.procedure, stop.phase.number, stop.run)
        };
        let later = stops.iter().skip(index + 1).take_while(same_run);
        let pairs = later.flat_map(|other| stop.deeds.iter().flat_map(|a| other.deeds.iter().map(move |b| (a, b))));
        let clash = |(a, b): &(&Deed, &Deed)| {
            let together = !a.guard.and_guard(&b.guard).is_impossible();
            together && (clash(walked.set, a, b) || clash(walked.set, b, a))
        };
        for (one, other) in pairs.filter(clash) {
            let message = "these steps may be done in any order, but it matters which of these two acts comes first";
            let finding = Finding::new(&RULE, other.act.span, message).also(one.act.span, "the other act");
            findings.push(finding.help("write them as an ordered list"));
        }
    }
}

/// True if it matters whether `one` or `other` comes first; each pair is asked both ways round.
fn clash(set: &Set, one: &Deed, other: &Deed) -> bool {
    match (&one.act.kind, &other.act.kind) {
        (ActKind::Fit(a, _), ActKind::Remove(b, _)) => a == b,
        (ActKind::Fit(Item::Temporary(item), _) | ActKind::Remove(Item::Temporary(item), _), ActKind::Do(action)) => {
            let links = set.links.actions.get(action);
            links.is_some_and(|links| links.never_with.contains(item))
        }
        (ActKind::Loosen(a), ActKind::Torque(b) | ActKind::Snug(b)) | (ActKind::Snug(a), ActKind::Torque(b)) => a == b,
        (ActKind::Start(a), ActKind::End(b)) => a == b,
        _ => sets(set, &one.act.kind).iter().any(|(state, value)| {
            let changed = sets(set, &other.act.kind)
                .into_iter()
                .any(|(s, v)| s == *state && v != *value);
            changed || needs(set, &other.act.kind).iter().any(|(s, _)| s == state)
        }),
    }
}

type Values = Vec<(crate::model::Handle<crate::model::registers::State>, usize)>;

fn sets(set: &Set, kind: &ActKind) -> Values {
    match kind {
        ActKind::Set(state, value) => vec![(*state, *value)],
        ActKind::Do(action) => set
            .links
            .actions
            .get(action)
            .map_or_else(Vec::new, |links| links.sets.clone()),
        ActKind::Torque(_)
        | ActKind::Snug(_)
        | ActKind::Loosen(_)
        | ActKind::Measure(_)
        | ActKind::Fit(..)
        | ActKind::Remove(..)
        | ActKind::Use(..)
        | ActKind::Need(..)
        | ActKind::Start(_)
        | ActKind::End(_)
        | ActKind::Hold(_)
        | ActKind::Label(_)
        | ActKind::Step { .. }
        | ActKind::See(_)
        | ActKind::Time(_)
        | ActKind::Only => Vec::new(),
    }
}

fn needs(set: &Set, kind: &ActKind) -> Values {
    match kind {
        ActKind::Need(state, value) => vec![(*state, *value)],
        ActKind::Do(action) => set
            .links
            .actions
            .get(action)
            .map_or_else(Vec::new, |links| links.needs.clone()),
        ActKind::Torque(_)
        | ActKind::Snug(_)
        | ActKind::Loosen(_)
        | ActKind::Measure(_)
        | ActKind::Fit(..)
        | ActKind::Remove(..)
        | ActKind::Use(..)
        | ActKind::Set(..)
        | ActKind::Start(_)
        | ActKind::End(_)
        | ActKind::Hold(_)
        | ActKind::Label(_)
        | ActKind::Step { .. }
        | ActKind::See(_)
        | ActKind::Time(_)
        | ActKind::Only => Vec::new(),
    }
}
