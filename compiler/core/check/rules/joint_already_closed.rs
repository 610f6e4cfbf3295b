//! # Sealing a joint that is closed
//!
//! ## What it means
//! `[use … on …]` names a joint whose fasteners are tight, or whose part is on.
//!
//! ## Why it matters
//! The bead goes round the outside.
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
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Peel off the [remove gasket].
//! 3. Draw a bead of [use sealant 8 mL on face].
//! 4. Tighten the [torque screws].
//! 5. Draw another bead of [use sealant 8 mL on face].
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
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Peel off the [remove gasket].
//! 3. Draw a bead of [use sealant 8 mL on face].
//! 4. Tighten the [torque screws].
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
