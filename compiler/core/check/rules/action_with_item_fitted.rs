//! # An action with something fitted that forbids it
//!
//! ## What it means
//! An action is done while a temporary item of its `never-with` is on.
//!
//! ## Why it matters
//! A shaft turned against its lock bends the lock or the shaft; a pump started with a plug in its port bursts something.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Tighten
//! temporary: {lock: shaft lock}
//! torques: {nut: {name: shaft nut, torque: 24 N·m, lubrication: dry}}
//! actions: {turn-shaft: {name: turn the shaft by hand, never-with: [lock]}}
//! ---
//!
//! 1. Fit the [fit lock].
//! 2. Tighten the [torque nut].
//! 3. Then [do turn-shaft].
//! 4. Take off the [remove lock].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Tighten
//! temporary: {lock: shaft lock}
//! torques: {nut: {name: shaft nut, torque: 24 N·m, lubrication: dry}}
//! actions: {turn-shaft: {name: turn the shaft by hand, never-with: [lock]}}
//! ---
//!
//! 1. Fit the [fit lock].
//! 2. Tighten the [torque nut].
//! 3. Take off the [remove lock].
//! 4. Then [do turn-shaft].
//! ```

use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Item;

pub static RULE: Rule = Rule {
    code: "BL412",
    name: "action-with-item-fitted",
    severity: Severity::Error,
    page: include_str!("action_with_item_fitted.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::ForbiddenItem { action, item } = &fault.wrong {
            let id = &walked.set.catalogue.actions.get(*action).id.text;
            let item = walked.item(Item::Temporary(*item));
            let message = format!("`{id}` must not be done with `{item}` on, and it is on");
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help(format!("take `{item}` off before")),
            );
        }
    }
}
