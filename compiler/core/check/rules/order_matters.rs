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
//! - Fit the [fit plug].
//! - Blow through the port and take out the [remove plug].
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Fit the [fit plug].
//! 2. Blow through the port and take out the [remove plug].
//! ```

use crate::check::walk::{Event, OnFastener, OnItem, OnState, OnTimer, Stop, What};
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

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
        let pairs = later.flat_map(|other| {
            stop.events
                .iter()
                .flat_map(|a| other.events.iter().map(move |b| (a, b)))
        });
        let clash = |(a, b): &(&Event, &Event)| {
            let together = !a.guard.and_guard(&b.guard).is_impossible();
            together && (clash(&a.what, &b.what) || clash(&b.what, &a.what))
        };
        // Of an action several things come: the mark is told of once.
        let mut marks: Vec<(Span, Span)> = Vec::new();
        for (one, other) in pairs.filter(clash) {
            if !marks.contains(&(one.at, other.at)) {
                marks.push((one.at, other.at));
            }
        }
        for (one, other) in marks {
            let message = "these steps may be done in any order, but it matters which of these two acts comes first";
            let finding = Finding::new(&RULE, other, message).also(one, "the other act");
            findings.push(finding.help("write them as an ordered list"));
        }
    }
}

/// True if it matters whether `one` or `other` comes first; each pair is asked both ways round.
fn clash(one: &What, other: &What) -> bool {
    match (one, other) {
        (What::Item(a, one), What::Item(b, other)) => a == b && item(one, other),
        (What::Fastener(a, one), What::Fastener(b, other)) => a == b && fastener(one, other),
        (What::Timer(a, OnTimer::Start), What::Timer(b, OnTimer::End)) => a == b,
        (What::State(a, OnState::Set(_, _)), What::State(b, OnState::Need(_, _))) => a == b,
        (What::State(a, OnState::Set(one, _)), What::State(b, OnState::Set(other, _))) => a == b && one != other,
        _ => false,
    }
}

fn item(one: &OnItem, other: &OnItem) -> bool {
    match (one, other) {
        (OnItem::Fit(_), OnItem::Remove(_)) | (OnItem::Fit(_) | OnItem::Remove(_), OnItem::Barred(_)) => true,
        (OnItem::Fit(_) | OnItem::Remove(_) | OnItem::Barred(_), _) => false,
    }
}

fn fastener(one: &OnFastener, other: &OnFastener) -> bool {
    match (one, other) {
        (OnFastener::Loosen, OnFastener::Torque | OnFastener::Snug) | (OnFastener::Snug, OnFastener::Torque) => true,
        (OnFastener::Loosen | OnFastener::Snug | OnFastener::Torque, _) => false,
    }
}
