//! # Sealing a joint that is closed
//!
//! ## What it means
//! `[use … on …]` names a joint whose fasteners are tight, or whose part is on.
//!
//! ## Why it matters
//! The bead goes round the outside.
//!
//! ## Example
//! ```markdown
//! 1. Tighten the [torque screws].
//! 2. Draw a bead of [use sealant 8 mL on face].
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
    code: "BL452",
    name: "joint-already-closed",
    severity: Severity::Error,
    page: include_str!("joint_already_closed.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::JointClosed { joint } = &fault.wrong {
            let message = format!("`{}` is closed already", walked.id(joint.entity()));
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("put it on before the joint is closed"),
            );
        }
    }
}
