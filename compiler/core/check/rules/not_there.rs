//! # A mark on what is not there
//!
//! ## What it means
//! A mark names an entry that `only:` says is there for other choices alone.
//!
//! ## Why it matters
//! The card of this job asks for something that this job does not have.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! options: {scope: {values: [all, belts], default: belts}}
//! parts:
//!   spindle: {name: spindle, only: scope=all}
//! limits:
//!   play: {limit: max 2 mm, only: scope=all}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Draw out the [remove spindle].
//! 2. Measure the [measure play].
//! 3. Slide in the [fit spindle].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! options: {scope: {values: [all, belts], default: belts}}
//! parts:
//!   spindle: {name: spindle, only: scope=all}
//! limits:
//!   play: {limit: max 2 mm, only: scope=all}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Draw out the [remove spindle]. [only scope=all]
//! 2. Measure the [measure play]. [only scope=all]
//! 3. Slide in the [fit spindle]. [only scope=all]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL446",
    name: "not-there",
    severity: Severity::Error,
    page: include_str!("not_there.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NotThere { thing } = &fault.wrong {
            let message = format!("`{}` is not there", walked.id(*thing));
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("give the step, its heading or its card the same `only`"),
            );
        }
    }
}
