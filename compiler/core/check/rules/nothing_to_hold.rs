//! # Fasteners with nothing to hold
//!
//! ## What it means
//! Fasteners are tightened, started or put in, or a clip goes on, while the place that they secure is empty; fasteners are tightened while some of them are missing; or fasteners are loosened that are out.
//!
//! ## Why it matters
//! The part that should be under them is still on the bench, and goes on over them or not at all.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover}
//!   bolts: {name: bolts, qty: 4}
//! torques:
//!   bolts: {torque: 9 N·m, count: 4, lubrication: dry, secures: [cover], part: bolts}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen bolts].
//! 2. Take out the [remove bolts].
//! 3. Lift off the [remove cover].
//! 4. Undo the [loosen bolts].
//! 5. Put in the [fit bolts 3].
//! 6. Set on the [fit cover].
//! 7. Tighten the [torque bolts].
//! 8. Put in the last of the [fit bolts 1].
//! 9. Tighten the [torque bolts].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover}
//!   bolts: {name: bolts, qty: 4}
//! torques:
//!   bolts: {torque: 9 N·m, count: 4, lubrication: dry, secures: [cover], part: bolts}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen bolts].
//! 2. Take out the [remove bolts].
//! 3. Lift off the [remove cover].
//! 4. Set on the [fit cover].
//! 5. Put in the [fit bolts].
//! 6. Tighten the [torque bolts].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL437",
    name: "nothing-to-hold",
    severity: Severity::Error,
    page: include_str!("nothing_to_hold.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::HoldsNothing { by, part } = &fault.wrong {
            let message = format!(
                "`{}` is to hold `{}`, which is not on",
                walked.id(*by),
                walked.part(*part)
            );
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("put that on first; within a step, name it first"),
            );
        }
        if let Wrong::FastenersMissing { torque, part } = &fault.wrong {
            let message = format!(
                "`{}` is tightened or started with some or all of `{}` missing",
                walked.id(torque.entity()),
                walked.part(*part)
            );
            findings.push(walked.tell(&RULE, fault, &message).help("fit all of them first"));
        }
        if let Wrong::LoosenedOut { torque } = &fault.wrong {
            let message = format!(
                "`{}` is loosened, and what it secures is off",
                walked.id(torque.entity())
            );
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("take the mark out, or name the fasteners that are meant"),
            );
        }
    }
}
