//! # A step without a time in a window
//!
//! ## What it means
//! While a window runs, or while what is in a joint is open, each step has its `[time …]`: else nobody can add them up.
//!
//! ## Why it matters
//! A window that is checked against some of its steps is not checked.
//!
//! ## Example
//! ```markdown
//! 1. Warm the seat. [start hot] [time 6 min]
//! 2. Push on the bearing.
//! 3. Hold it. [end hot] [time 1 min]
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Warm the seat. [start hot] [time 6 min]
//! 2. Push on the bearing. [time 1 min]
//! 3. Hold it. [end hot] [time 1 min]
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
            let message = format!("this step says no time, and `{}` runs", walked.id(*window));
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("write how long it takes, such as `[time 2 min]`"),
            );
        }
    }
}
