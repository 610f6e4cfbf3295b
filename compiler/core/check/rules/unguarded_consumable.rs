//! # A hazardous product used without a message
//!
//! ## What it means
//! A consumable with `hazards` is used, and no message of CAUTION or above is in force before the step (NOTICE will do for the environment,
//! GHS09).
//!
//! A message before a step is in force for that step and the later ones of its phase; one under a heading for the phase; one before the first
//! heading for the card. It covers only hazards that it speaks of: `compiler/tables/hazard-words.csv` has the words, and the finding offers some.
//!
//! ## Why it matters
//! Whoever opens the can has the card in view, not the safety data sheet.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! consumables: {solvent: {hazards: [GHS02, GHS07]}}
//! ---
//!
//! 1. Wash the parts with [use solvent].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! consumables: {solvent: {hazards: [GHS02, GHS07]}}
//! ---
//!
//! > [!WARNING] Flammable solvent, harmful when breathed
//! > Vapour catches fire from a spark.
//! > Avoid: open doors, no flame in the room.
//!
//! 1. Wash the parts with [use solvent].
//! ```

use crate::check::hazards::Cause;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL501",
    name: "unguarded-consumable",
    severity: Severity::Error,
    page: include_str!("unguarded_consumable.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for unguarded in &walked.unguarded {
        if let Cause::Consumable(consumable) = unguarded.cause {
            let id = &walked.set.catalogue.consumables.get(consumable).id.text;
            let hazards = unguarded.hazards.join(", ");
            let message = match unguarded.silent {
                Some(_) => format!("`{id}` ({hazards}) is used, and the safety message before it doesn't warn of that"),
                None => format!("`{id}` ({hazards}) is used, and no safety message before it warns of that"),
            };
            findings.push(walked.unguarded(&RULE, unguarded, &message));
        }
    }
}
