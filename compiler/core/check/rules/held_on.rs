//! # A part that something still holds
//!
//! ## What it means
//! A part comes off while fasteners that secure it are tight or still in, or while a clip or pin holds it. The registers say so with `secures` and `part`.
//!
//! ## Why it matters
//! It is levered or hammered at until something breaks.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover}
//!   clip: {name: clip, secures: pin}
//!   pin: {name: pin}
//! torques:
//!   screws: {torque: 9 N·m, lubrication: dry, secures: [cover]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Lift off the [remove cover].
//! 2. Drive out the [remove pin].
//! 3. Spring out the [remove clip].
//! 4. Drive in the [fit pin].
//! 5. Spring in the [fit clip].
//! 6. Set on the [fit cover].
//! 7. Tighten the [torque screws].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover}
//!   clip: {name: clip, secures: pin}
//!   pin: {name: pin}
//! torques:
//!   screws: {torque: 9 N·m, lubrication: dry, secures: [cover]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Lift off the [remove cover].
//! 3. Spring out the [remove clip].
//! 4. Drive out the [remove pin].
//! 5. Drive in the [fit pin].
//! 6. Spring in the [fit clip].
//! 7. Set on the [fit cover].
//! 8. Tighten the [torque screws].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL436",
    name: "held-on",
    severity: Severity::Error,
    page: include_str!("held_on.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::HeldTight { part, by } = &fault.wrong {
            let message = format!(
                "`{}` comes off while `{}` is tight",
                walked.part(*part),
                walked.id(by.entity())
            );
            findings.push(walked.tell(&RULE, fault, &message).help("loosen it first"));
        }
        if let Wrong::Held { part, by, still_in } = &fault.wrong {
            let message = format!(
                "`{}` comes off while `{}` {}",
                walked.part(*part),
                walked.id(*by),
                if *still_in { "is still in" } else { "holds it" }
            );
            findings.push(walked.tell(&RULE, fault, &message).help("take that out first"));
        }
    }
}
