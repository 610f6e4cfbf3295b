//! # An action in the wrong state
//!
//! ## What it means
//! An action is done while a state that it `needs` has another value.
//!
//! ## Why it matters
//! Starting a dry pump, turning a shaft under power, draining a vessel under pressure: the rule was written down, and the steps break it.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Drain
//! states: {power: {values: [on, off], start: on}}
//! actions: {drain: {name: drain the tank, needs: {power: off}}}
//! ---
//!
//! 1. Then [do drain].
//! 2. Turn the isolator to OFF. [set power=off]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Drain
//! states: {power: {values: [on, off], start: on}}
//! actions: {drain: {name: drain the tank, needs: {power: off}}}
//! ---
//!
//! 1. Turn the isolator to OFF. [set power=off]
//! 2. Then [do drain].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL411",
    name: "action-in-wrong-state",
    severity: Severity::Error,
    page: include_str!("action_in_wrong_state.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::WrongState {
            action,
            state,
            is,
            needs,
        } = &fault.wrong
        {
            let id = &walked.set.catalogue.actions.get(*action).id.text;
            let (is, needs) = (walked.state(*state, *is), walked.state(*state, *needs));
            let message = format!("`{id}` needs `{needs}`, but here it is `{is}`");
            findings.push(walked.tell(&RULE, fault, &message).help(format!(
                "bring about `{needs}` before, and mark it with `[set {needs}]`"
            )));
        }
    }
}
