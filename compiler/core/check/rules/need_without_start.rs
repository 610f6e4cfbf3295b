//! # A state needed that nothing has said
//!
//! ## What it means
//! A step needs a value of a state, or does something whose entry needs it, and the state has no `start:` and nothing before the step has set it. The
//! finding names the choices that bring this about.
//!
//! ## Why it matters
//! Whether the valve is shut is then anybody's guess: a need that nothing could fail to meet proves nothing.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! states: {valve: {values: [open, shut]}}
//! ---
//!
//! 1. Take out the filter. [need valve=shut]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! states: {valve: {values: [open, shut], start: open}}
//! ---
//!
//! 1. Close the valve. [set valve=shut]
//! 2. Take out the filter. [need valve=shut]
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL415",
    name: "need-without-start",
    severity: Severity::Error,
    page: include_str!("need_without_start.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::NeedUnknown { state, needs, by } = &fault.wrong {
            let catalogue = &walked.set.catalogue;
            let id = &catalogue.states.get(*state).id.text;
            let needs = walked.state(*state, *needs);
            let who = match by {
                Some(by) => format!("`{}` needs", walked.id(*by)),
                None => "this step needs".to_string(),
            };
            let message = format!("{who} `{needs}`, and nothing says how `{id}` is here");
            findings.push(walked.tell(&RULE, fault, &message).help(format!(
                "say how `{id}` is at the start with `start:`, or bring `{needs}` about before and mark it with `[set {needs}]`"
            )));
        }
    }
}
