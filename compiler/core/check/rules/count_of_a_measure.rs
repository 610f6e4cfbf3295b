//! # Pieces of what is measured out
//!
//! ## What it means
//! A `[use …]` gives a bare number of a consumable that is bought by mass, volume or length (its `amount:`); or it gives a mass of one that
//! is bought by the piece.
//!
//! ## Why it matters
//! The card prints "2", and nobody knows 2 of what: grams, spoons or tins. What is to be bought can't be worked out either.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! consumables: {grease: {name: seal grease, amount: 50 g}}
//! ---
//!
//! 1. Pack the lip with [use grease 2].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! consumables: {grease: {name: seal grease, amount: 50 g}}
//! ---
//!
//! 1. Pack the lip with [use grease 2 g].
//! ```

use crate::domain::amount::Amount;
use crate::finding::{Finding, Rule, Severity};
use crate::model::{Act, ActKind, Set, Thing};

pub static RULE: Rule = Rule {
    code: "BL211",
    name: "count-of-a-measure",
    severity: Severity::Warning,
    page: include_str!("count_of_a_measure.rs"),
};

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    for (_, step) in set.procedures.iter().flat_map(|procedure| procedure.steps()) {
        let acts = step.acts.iter().chain(step.substeps.iter().flat_map(|sub| &sub.acts));
        findings.extend(acts.filter_map(|act| used(set, act)));
    }
}

/// The finding of a mark that uses a consumable, if what it gives can't be compared with what is bought.
fn used(set: &Set, act: &Act) -> Option<Finding> {
    let ActKind::Use(Thing::Consumable(consumable), Some(used), _) = &act.kind else {
        return None;
    };
    let def = set.catalogue.consumables.get(*consumable);
    let bought = def.value.amount.as_ref()?;
    let id = &def.id.text;
    let (message, help) = match (used, &bought.value) {
        (Amount::Count(count), Amount::Measure(pack)) => (
            format!(
                "`{id}` is bought by {}, and this is {count} of it without a unit",
                pack.dimension()
            ),
            format!(
                "write how much, in a unit of {} such as `[use {id} {count} {}]`; if whole packs are meant, let its `amount` be a count",
                pack.dimension(),
                pack.unit()
            ),
        ),
        (Amount::Measure(used), Amount::Count(_)) => (
            format!("`{id}` is bought by the piece, and this is {used} of it"),
            format!(
                "write how many, such as `[use {id} 2]`, or let its `amount` say how much is bought: `amount: 50 {}`",
                used.unit()
            ),
        ),
        (Amount::Count(_), Amount::Count(_)) | (Amount::Measure(_), Amount::Measure(_)) => return None,
    };
    Some(
        Finding::new(&RULE, act.span, message)
            .also(bought.span, "what is bought at a time")
            .help(help),
    )
}
