//! # A hazard without a message
//!
//! ## What it means
//! A step lifts, presses, pulls, heats or grinds (by the kind of the tool it uses), or it names a part, torque, tool, state or action with
//! a `hazard:`, and no message of CAUTION or above is in force before it.
//!
//! A message before a step is in force for that step and the later ones of its phase; one under a heading for the phase; one before the first
//! heading for the card. It covers only hazards that it speaks of: `compiler/tables/hazard-words.csv` has the words, and the finding offers some.
//!
//! ## Why it matters
//! Stored energy gives no second chance to read on.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! tools: {hoist: {kind: hoist}}
//! ---
//!
//! 1. Lift the pump on to the bench with the [use hoist].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! tools: {hoist: {kind: hoist}}
//! ---
//!
//! > [!WARNING] Load on a hook
//! > A pump that drops crushes feet.
//! > Avoid: nothing of yours under the load.
//!
//! 1. Lift the pump on to the bench with the [use hoist].
//! ```

use crate::check::hazards::Cause;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL502",
    name: "unguarded-hazard",
    severity: Severity::Error,
    page: include_str!("unguarded_hazard.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    let catalogue = &walked.set.catalogue;
    for unguarded in &walked.unguarded {
        let id = match unguarded.cause {
            Cause::Consumable(_) => continue,
            Cause::Tool(tool) => &catalogue.tools.get(tool).id.text,
            Cause::Part(part) => &catalogue.parts.get(part).id.text,
            Cause::Torque(torque) => &catalogue.torques.get(torque).id.text,
            Cause::State(state) => &catalogue.states.get(state).id.text,
            Cause::Action(action) => &catalogue.actions.get(action).id.text,
        };
        let hazards = unguarded.hazards.join(", ");
        let message = match unguarded.silent {
            Some(_) => {
                format!("`{id}` can hurt somebody ({hazards}), and the safety message before it doesn't warn of that")
            }
            None => format!("`{id}` can hurt somebody ({hazards}), and no safety message before it warns of that"),
        };
        findings.push(walked.unguarded(&RULE, unguarded, &message));
    }
}
