//! # A cure that nobody waits for
//!
//! ## What it means
//! A consumable with a `cure` is used, and no wait (`at-least`) as long as the cure starts in that step or later.
//!
//! ## Why it matters
//! Pressure, oil or torque comes on the joint before it is hard.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! consumables: {sealant: {name: sealant, cure: 12 h}}
//! ---
//!
//! 1. Roll on the [use sealant].
//! 2. Set on the cover.
//! 3. Fill in the oil.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! consumables: {sealant: {name: sealant, cure: 12 h}}
//! timers: {cure: {what: the sealant hardens, at-least: 12 h}}
//! ---
//!
//! 1. Roll on the [use sealant].
//! 2. Set on the cover. [start cure]
//! 3. Wait until the sealant is hard. [end cure]
//! 4. Fill in the oil.
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL427",
    name: "cure-not-timed",
    severity: Severity::Error,
    page: include_str!("cure_not_timed.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::CureNotTimed { consumable } = &fault.wrong {
            let def = walked.set.catalogue.consumables.get(*consumable);
            let cure = def
                .value
                .cure
                .as_ref()
                .map_or_else(String::new, |cure| cure.value.to_string());
            let message = format!(
                "`{}` needs {cure} to cure, but no wait of that length follows",
                def.id.text
            );
            findings.push(
                walked.tell(&RULE, fault, &message).help(
                    "start a timer with `at-least:` when the joint is closed, and end it before the joint serves",
                ),
            );
        }
    }
}
