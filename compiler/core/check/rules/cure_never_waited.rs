//! # A cure that nobody waits for
//!
//! ## What it means
//! A joint is closed with something that cures, and no `[wait …]` follows; or a `[wait …]` stands where nothing cures: before the joint is closed, or in the step that closes it.
//!
//! ## Why it matters
//! The joint is loaded while it is soft, or the clock runs for nothing.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover}
//! consumables:
//!   sealant: {name: sealant, open: 10 min, cure: 2 h}
//! torques:
//!   screws: {torque: 9 N·m, lubrication: dry}
//! joints:
//!   face: {takes: [sealant], closed-by: screws}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Lift off the [remove cover].
//! 3. Draw a bead of [use sealant 8 mL on face]. [time 1 min]
//! 4. Let it set. [wait sealant] [time 1 min]
//! 5. Set on the [fit cover]. [time 1 min]
//! 6. Tighten the [torque screws]. [time 2 min]
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover}
//! consumables:
//!   sealant: {name: sealant, open: 10 min, cure: 2 h}
//! torques:
//!   screws: {torque: 9 N·m, lubrication: dry}
//! joints:
//!   face: {takes: [sealant], closed-by: screws}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Lift off the [remove cover].
//! 3. Draw a bead of [use sealant 8 mL on face]. [time 1 min]
//! 4. Set on the [fit cover]. [time 1 min]
//! 5. Tighten the [torque screws]. [time 2 min]
//! 6. Let it set. [wait sealant]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL453",
    name: "cure-never-waited",
    severity: Severity::Error,
    page: include_str!("cure_never_waited.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NeverWaited { joint, consumable } = &fault.wrong {
            let message = format!(
                "`{}` is closed with `{}`, and nothing waits until it has cured",
                walked.id(joint.entity()),
                walked.id(consumable.entity())
            );
            findings.push(walked.tell(&RULE, fault, &message).help(format!(
                "put `[wait {}]` into a step after this one",
                walked.id(consumable.entity())
            )));
        }
        if let Wrong::NothingCures { consumable } = &fault.wrong {
            let id = walked.id(consumable.entity());
            let (message, help) = match walked.set.catalogue.consumables[*consumable].cure {
                Some(_) => (
                    format!(
                        "no joint with `{id}` in it is closed and still soft here, so there is nothing to wait for"
                    ),
                    "move the wait to a step after the one that closes the joint".to_string(),
                ),
                None => (
                    format!("`{id}` doesn't say how long it cures, so there is nothing to wait for"),
                    "give it `cure:`; a wait for something else is a timer with `at-least:`, `[start ID]` … `[end ID]`"
                        .to_string(),
                ),
            };
            findings.push(walked.tell(&RULE, fault, &message).help(help));
        }
    }
}
