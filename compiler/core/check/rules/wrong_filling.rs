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
//! joints:
//!   face: {takes: [gasket, sealant], closed-by: screws}
//!
//! 1. Lay on the [fit gasket].
//! 2. Draw a bead of [use sealant 8 mL on face].
//! 3. Tighten the [torque screws].
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Draw a bead of [use sealant 8 mL on face].
//! 2. Tighten the [torque screws].
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
