//! # A revision that was not raised
//!
//! ## What it means
//! A procedure means something else than at the revision it is compared with (`--since`), and its `rev` is the same.
//!
//! ## Why it matters
//! Two cards of one revision then say different things, and nobody can tell by looking which of them is out of date.
//!
//! ## Example
//! A procedure at revision B said
//! ```markdown before/10-close.md
//! ---
//! title: Close
//! rev: B
//! torques:
//!   cover: {name: cover screws, torque: 9 N·m, lubrication: dry}
//! ---
//!
//! 1. Tighten the [torque cover].
//! ```
//! and, still at revision B, says
//! ```markdown 10-close.md
//! ---
//! title: Close
//! rev: B
//! torques:
//!   cover: {name: cover screws, torque: 12 N·m, lubrication: dry}
//! ---
//!
//! 1. Tighten the [torque cover].
//! ```
//!
//! ## Instead
//! Raise `rev` in the procedure, or in the set for all its procedures. Rewrapping, other spellings and the same value in another unit
//! are no change and need no other revision.
//! ```markdown before/10-close.md
//! ---
//! title: Close
//! rev: B
//! torques:
//!   cover: {name: cover screws, torque: 9 N·m, lubrication: dry}
//! ---
//!
//! 1. Tighten the [torque cover].
//! ```
//! ```markdown 10-close.md
//! ---
//! title: Close
//! rev: C
//! torques:
//!   cover: {name: cover screws, torque: 12 N·m, lubrication: dry}
//! ---
//!
//! 1. Tighten the [torque cover].
//! ```

use crate::diff::Diff;
use crate::domain::counted::counted;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Model;

pub static RULE: Rule = Rule {
    code: "BL901",
    name: "revision-not-raised",
    severity: Severity::Warning,
    page: include_str!("revision_not_raised.rs"),
};

/// Findings in the newer of the two states.
pub fn check(diff: &Diff, model: &Model) -> Vec<Finding> {
    let mut findings = Vec::new();
    for set_diff in &diff.sets {
        let Some(set) = model
            .sets
            .iter()
            .find(|s| s.id == set_diff.id && s.title == set_diff.title)
        else {
            continue;
        };
        for card in set_diff.cards.iter().filter(|card| card.rev_not_raised) {
            let Some(procedure) = set.procedures.iter().find(|p| p.id == card.procedure) else {
                continue;
            };
            let message = format!(
                "`{}` has {} since {} and is still revision {}",
                card.procedure,
                counted(card.changes.len(), "change", "changes"),
                diff.old,
                card.new_rev
            );
            findings.push(Finding::new(&RULE, procedure.span, message).help("raise `rev:`"));
        }
    }
    findings
}
