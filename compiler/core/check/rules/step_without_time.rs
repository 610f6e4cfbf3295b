//! # A step without a time in a window
//!
//! ## What it means
//! While a window runs, or while what is in a joint is open, each step has its `[time …]`: else nobody can add them up.
//!
//! ## Why it matters
//! A window that is checked against some of its steps is not checked.
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
//! timers:
//!   hot: {what: Fit it hot, within: 5 min}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Lift off the [remove cover].
//! 3. Draw a bead of [use sealant 8 mL on face]. [time 1 min]
//! 4. Set on the [fit cover].
//! 5. Tighten the [torque screws]. [time 3 min]
//! 6. Let it set. [wait sealant]
//! 7. Warm it. [start hot] [time 1 min]
//! 8. Push it on.
//! 9. Hold it. [end hot] [time 1 min]
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
//! timers:
//!   hot: {what: Fit it hot, within: 5 min}
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
//! 5. Tighten the [torque screws]. [time 3 min]
//! 6. Let it set. [wait sealant]
//! 7. Warm it. [start hot] [time 1 min]
//! 8. Push it on. [time 1 min]
//! 9. Hold it. [end hot] [time 1 min]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL455",
    name: "step-without-time",
    severity: Severity::Error,
    page: include_str!("step_without_time.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::Untimed { window } = &fault.wrong {
            let message = format!(
                "this step doesn't say how long it takes, and the time of `{}` runs",
                walked.id(*window)
            );
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("write it behind the sentence, such as `[time 2 min]`"),
            );
        }
    }
}
