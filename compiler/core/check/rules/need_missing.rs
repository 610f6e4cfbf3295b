//! # Something needed is missing
//!
//! ## What it means
//! A part goes on or comes off, fasteners are loosened or tightened, something is measured, done or signed, or a step begins, and what it needs (`needs`, `to-fit`, `to-remove`, `to-loosen`, `to-tighten`, `never-with`, `[need …]`) is not so.
//!
//! ## Why it matters
//! It goes wrong at the bench, or it passes and means nothing.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! options: {sleeve: {values: [yes, no], default: yes}}
//! parts:
//!   gear: {name: gear, to-fit: [sleeve], to-remove: [key=off], never-with: [nut]}
//!   key: {name: key}
//!   old: {name: old ring, reuse: no}
//! temporary:
//!   sleeve: {name: sleeve}
//! torques:
//!   nut: {torque: 9 N·m, lubrication: dry, to-tighten: [stop=in]}
//! states:
//!   stop: {values: [in, out], start: out}
//! limits:
//!   play: {limit: max 2 mm, needs: [gear]}
//! actions:
//!   turn: {name: Turn it, needs: [gear, old]}
//! holds:
//!   seen: {what: The play is inside its limit, needs: [play]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Draw off the [remove gear].
//! 2. Take out the [remove key].
//! 3. Pick out the [remove old].
//! 4. Undo the [loosen nut].
//! 5. Measure the [measure play].
//! 6. Push on the [fit sleeve]. [only sleeve=yes]
//! 7. Slide on the [fit gear].
//! 8. Pull the [remove sleeve]. [only sleeve=yes]
//! 9. Lay in the [fit key].
//! 10. Stop here. [hold seen]
//! 11. Look at it. [need nut] [need key=off]
//!
//! ## Turn
//!
//! 12. Press in the [fit old].
//! 13. [do turn].
//! 14. Press out the [remove old].
//! 15. Tighten the [torque nut].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! options: {sleeve: {values: [yes, no], default: yes}}
//! parts:
//!   gear: {name: gear, to-fit: [sleeve], to-remove: [key=off], never-with: [nut]}
//!   key: {name: key}
//!   old: {name: old ring, reuse: no}
//! temporary:
//!   sleeve: {name: sleeve}
//! torques:
//!   nut: {torque: 9 N·m, lubrication: dry, to-tighten: [stop=in]}
//! states:
//!   stop: {values: [in, out], start: out}
//! limits:
//!   play: {limit: max 2 mm, needs: [gear]}
//! actions:
//!   turn: {name: Turn it, needs: [gear, old]}
//! holds:
//!   seen: {what: The play is inside its limit, needs: [play]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen nut]. [only sleeve=yes]
//! 2. Take out the [remove key]. [only sleeve=yes]
//! 3. Draw off the [remove gear]. [only sleeve=yes]
//! 4. Push on the [fit sleeve]. [only sleeve=yes]
//! 5. Slide on the [fit gear]. [only sleeve=yes]
//! 6. Pull the [remove sleeve]. [only sleeve=yes]
//! 7. Lay in the [fit key]. [only sleeve=yes]
//!
//! ## Turn
//!
//! 8. [do turn].
//! 9. Push in the stop. [set stop=in]
//! 10. Tighten the [torque nut].
//! 11. Measure the [measure play].
//! 12. Stop here. [hold seen]
//! 13. Go on. [need nut]
//! ```

use crate::check::ledger::Lack;
use crate::check::ledger::Wrong;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::handle;

pub static RULE: Rule = Rule {
    code: "BL441",
    name: "need-missing",
    severity: Severity::Error,
    page: include_str!("need_missing.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for fault in &walked.ledger.faults {
        if let Wrong::Lacks { by, thing: id, lack } = &fault.wrong {
            let thing = walked.id(*id);
            let how = match lack {
                Lack::Missing => format!("`{thing}` is not on, or not all of it"),
                Lack::Spent => format!("`{thing}` has a piece in it that was used before"),
                Lack::Aside(part) => format!("`{thing}` is in `{}`, which is not on", walked.part(*part)),
                Lack::On => format!("`{thing}` is on"),
                Lack::Loose => format!("`{thing}` is not tight"),
                Lack::Tight => format!("`{thing}` is tight"),
                Lack::Open => format!("`{thing}` is not closed"),
                Lack::Uncured => format!("what is in `{thing}` has not cured"),
                Lack::Undone => format!("`{thing}` has not been done since what it stands on was last touched"),
                Lack::Is(value) => {
                    let state = handle(*id).map(|state| walked.state(state, *value));
                    format!("it is `{}`", state.unwrap_or_default())
                }
            };
            let message = match by {
                Some(by) => format!("`{}` doesn't go so: {how}", walked.id(*by)),
                None => format!("this step needs something else: {how}"),
            };
            findings.push(
                walked
                    .tell(&RULE, fault, &message)
                    .help("bring that about first, or move this step"),
            );
        }
    }
}
