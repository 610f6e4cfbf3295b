//! # A joint with nothing in it, or with two things
//!
//! ## What it means
//! A joint holds not exactly one of what it `takes` when something needs it, or at the end. The place is its last closing.
//!
//! ## Why it matters
//! It leaks: there is nothing between the faces, or a gasket and a sealant that slide on each other.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   gasket: {name: gasket, renew: yes}
//! consumables:
//!   sealant: {name: sealant}
//! torques:
//!   screws: {torque: 9 N·m, lubrication: dry}
//! joints:
//!   face: {takes: [gasket, sealant], closed-by: screws}
//! actions:
//!   fill: {name: Fill it, needs: [face]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Peel off the [remove gasket].
//! 3. Tighten the [torque screws].
//! 4. [do fill].
//! 5. Undo the [loosen screws].
//! 6. Lay on the [fit gasket].
//! 7. Draw a bead of [use sealant 8 mL on face].
//! 8. Tighten the [torque screws].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   gasket: {name: gasket, renew: yes}
//! consumables:
//!   sealant: {name: sealant}
//! torques:
//!   screws: {torque: 9 N·m, lubrication: dry}
//! joints:
//!   face: {takes: [gasket, sealant], closed-by: screws}
//! actions:
//!   fill: {name: Fill it, needs: [face]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Peel off the [remove gasket].
//! 3. Tighten the [torque screws] dry.
//! 4. Undo the [loosen screws].
//! 5. Draw a bead of [use sealant 8 mL on face].
//! 6. Tighten the [torque screws].
//! 7. [do fill].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL451",
    name: "wrong-filling",
    severity: Severity::Error,
    page: include_str!("wrong_filling.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::Filling { joint, count } = &fault.wrong {
            let message = format!(
                "`{}` is closed with {} in it",
                walked.id(joint.entity()),
                if *count == 0 { "nothing" } else { "more than one thing" }
            );
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("let each way put exactly one of what it takes into it"),
            );
        }
    }
}
