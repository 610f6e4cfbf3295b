//! # A joint closed too late
//!
//! ## What it means
//! The steps from the use of a consumable to the closing of its joint, both in full, with the waits that start and end between them and the cures of other joints that are closed and waited for between them, take longer than it stays `open`; or a hold point lies between them.
//!
//! ## Why it matters
//! It skins over and no longer wets the other face.
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
//! holds:
//!   seen: {what: The bead is whole}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Lift off the [remove cover].
//! 3. Draw a bead of [use sealant 8 mL on face]. [time 4 min]
//! 4. Stop here. [hold seen] [time 1 min]
//! 5. Set on the [fit cover]. [time 3 min]
//! 6. Tighten the [torque screws]. [time 3 min]
//! 7. Let it set. [wait sealant]
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
//! 3. Draw a bead of [use sealant 8 mL on face]. [time 4 min]
//! 4. Set on the [fit cover]. [time 3 min]
//! 5. Tighten the [torque screws]. [time 3 min]
//! 6. Let it set. [wait sealant]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL454",
    name: "open-time-over",
    severity: Severity::Error,
    page: include_str!("open_time_over.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::OpenOver {
            joint,
            consumable,
            takes,
        } = &fault.wrong
        {
            let message = format!(
                "`{}` is closed after {takes}, longer than `{}` stays open",
                walked.id(joint.entity()),
                walked.id(consumable.entity())
            );
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("do less between its use and the closing"),
            );
        }
        if let Wrong::HoldInOpen { joint, hold } = &fault.wrong {
            let message = format!(
                "`{}` waits for a signature while `{}` is open",
                walked.id(hold.entity()),
                walked.id(joint.entity())
            );
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("put the hold point before the bead or after the closing"),
            );
        }
    }
}
