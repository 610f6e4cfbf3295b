//! # A step that no choice reaches
//!
//! ## What it means
//! The conditions of a step, sub-step or message, with those of its phase, contradict each other.
//!
//! ## Why it matters
//! It is printed on no card, whatever is chosen.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! options:
//!   seals: {what: Seals, values: {renew: They are old, keep: They are new}, default: renew}
//! ---
//!
//! ## Renew the seals [only seals=renew]
//!
//! 1. Peel off the old seal.
//! 2. Wipe the old seal. [only seals=keep]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! options:
//!   seals: {what: Seals, values: {renew: They are old, keep: They are new}, default: renew}
//! ---
//!
//! 1. Wipe the old seal. [only seals=keep]
//!
//! ## Renew the seals [only seals=renew]
//!
//! 1. Peel off the old seal.
//! ```

use crate::check::ledger::Wrong;
use crate::check::walk::guard::Guard;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Condition;

pub static RULE: Rule = Rule {
    code: "BL432",
    name: "unreachable-step",
    severity: Severity::Warning,
    page: include_str!("unreachable_step.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in walked
        .ledger
        .faults
        .iter()
        .filter(|fault| fault.wrong == Wrong::Unreached)
    {
        let finding = match fault.since {
            Some(step) => Finding::new(&RULE, fault.at, "the job ends here on every way, and steps follow")
                .also(step.at, "no way reaches this step")
                .help("put `[if …]` before the `[stop]`, or take it away"),
            None => Finding::new(
                &RULE,
                fault.at,
                "no way reaches this step: what it asks for never turns out",
            )
            .help("ask for something that can be so"),
        };
        findings.push(finding);
    }
    for stop in &walked.flow.stops {
        let mut look = |outer: &Guard, only: &[Condition], what: &str| {
            let guard = outer.and(&walked.flow.variables, only);
            if let Some((one, other)) = guard.conflict().filter(|_| outer.conflict().is_none()) {
                let message = format!("no choice reaches this {what}: its conditions contradict each other");
                let finding = Finding::new(&RULE, other, message).help("take one of the conditions away");
                findings.push(if one == other {
                    finding
                } else {
                    finding.also(one, "asked for here")
                });
            }
        };
        let phase = walked.flow.phase_guard(stop);
        look(&Guard::default(), &stop.phase.only, "phase");
        look(&phase, &stop.step.only, "step");
        for sub in &stop.step.substeps {
            look(&stop.guard, &sub.only, "sub-step");
        }
        for message in &stop.step.messages {
            look(&stop.guard, &message.only, "message");
        }
        for message in &stop.phase.messages {
            look(&phase, &message.only, "message");
        }
    }
}
