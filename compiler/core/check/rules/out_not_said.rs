//! # Nobody says what to do with a reading that is out
//!
//! ## What it means
//! A limit has no `out:`, in a set that says of other limits what to do where a reading is out; and no step asks whether it is.
//!
//! ## Why it matters
//! Whoever stands at the bench with a reading beside the limit has to decide alone, mostly late in the day.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! limits:
//!   play: {name: end play, limit: 0.05..0.10 mm, out: take the next shim}
//!   run-out: {name: run-out, limit: max 0.04 mm}
//! ---
//!
//! 1. Measure the [measure play].
//! 2. Measure the [measure run-out].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! limits:
//!   play: {name: end play, limit: 0.05..0.10 mm, out: take the next shim}
//!   run-out: {name: run-out, limit: max 0.04 mm, out: turn the flange by one hole and measure again}
//! ---
//!
//! 1. Measure the [measure play].
//! 2. Measure the [measure run-out].
//! ```

use crate::check::tightening::TorqueFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;
use crate::model::ties::Asked;
use std::collections::BTreeSet;

pub static RULE: Rule = Rule {
    code: "BL209",
    name: "out-not-said",
    severity: Severity::Advice,
    page: include_str!("out_not_said.rs"),
};

pub fn check(set: &Set, _: &TorqueFacts, findings: &mut Vec<Finding>) {
    let limits = || set.catalogue.limits.iter();
    if !limits().any(|(_, def)| def.value.out.is_some()) {
        return;
    }
    let steps = set.procedures.iter().flat_map(|procedure| procedure.steps());
    let questions = steps.flat_map(|(phase, step)| phase.ifs.iter().chain(&step.ifs));
    let asked: BTreeSet<_> = questions
        .filter_map(|question| match question.of {
            Asked::Limit { limit, .. } => Some(limit),
            Asked::Case(_) => None,
        })
        .collect();
    for (limit, def) in limits() {
        if def.value.out.is_none() && !asked.contains(&limit) {
            let message = format!("nobody says what to do where `{}` is out", def.id.text);
            let finding = Finding::new(&RULE, def.id.span, message);
            findings.push(finding.help("add `out:`, what to do then in a few words"));
        }
    }
}
