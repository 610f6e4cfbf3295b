//! # A joint closed too late
//!
//! ## What it means
//! The steps from the use of a consumable to the closing of its joint, both in full, take longer than it stays `open`; or a hold point lies between them.
//!
//! ## Why it matters
//! It skins over and no longer wets the other face.
//!
//! ## Example
//! ```yaml
//! consumables:
//!   sealant: {name: sealant, open: 10 min}
//!
//! 1. Draw a bead of [use sealant 8 mL on face]. [time 4 min]
//! 2. Set on the [fit cover]. [time 5 min]
//! 3. Tighten the [torque screws]. [time 5 min]
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Set out the screws. [time 5 min]
//! 2. Draw a bead of [use sealant 8 mL on face]. [time 4 min]
//! 3. Set on the [fit cover] and tighten the [torque screws]. [time 6 min]
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
