//! # An open time that nobody watches
//!
//! ## What it means
//! A consumable with an `open` time is used, and no window (`within`) of at most that time runs.
//!
//! ## Why it matters
//! The sealant has skinned over, or the adhesive has set, before the joint is closed.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! consumables: {sealant: {name: sealant, open: 20 min}}
//! ---
//!
//! 1. Roll on the [use sealant].
//! 2. Set on the cover.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! consumables: {sealant: {name: sealant, open: 20 min}}
//! timers: {close: {what: the cover is on, within: 20 min}}
//! ---
//!
//! 1. Roll on the [use sealant]. [start close] [time 3 min]
//! 2. Set on the cover. [end close] [time 1 min]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL428",
    name: "open-time-not-timed",
    severity: Severity::Warning,
    page: include_str!("open_time_not_timed.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::OpenNotTimed { consumable } = &fault.wrong {
            let def = walked.set.catalogue.consumables.get(*consumable);
            let open = def
                .value
                .open
                .as_ref()
                .map_or_else(String::new, |open| open.value.to_string());
            let message = format!(
                "the joint with `{}` must be closed within {open}, and no timer runs that says so",
                def.id.text
            );
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("start a timer with `within:` in this step, `[start ID]`, and end it in the step that closes the joint, `[end ID]`"),
            );
        }
    }
}
