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
//! parts:
//!   gear: {name: gear, to-fit: [sleeve]}
//! temporary:
//!   sleeve: {name: sleeve}
//!
//! 1. Slide on the [fit gear].
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Push on the [fit sleeve].
//! 2. Slide on the [fit gear].
//! 3. Pull the [remove sleeve].
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
