//! # A setting for what is tightened by hand
//!
//! ## What it means
//! `torque: hand` says that a hand tightens it, without a tool and without a figure; and beside it stands something that only a figure can
//! have: a `tolerance`, a `tool`, an `adapter` or a `drag`.
//!
//! ## Why it matters
//! The card would name a wrench and nothing to set it to. Either the figure is missing, or what stands beside it was left over.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   knob: {name: cover knob, torque: hand, tolerance: ± 10 %}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   knob: {name: cover knob, torque: hand}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::domain::tightening::HAND;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;
use crate::model::registers::Torque;
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL313",
    name: "setting-for-hand",
    severity: Severity::Error,
    page: include_str!("setting_for_hand.rs"),
};

pub fn check(set: &Set, _: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (_, def) in set.catalogue.torques.iter().filter(|(_, def)| def.value.is_by_hand()) {
        let Some(stage) = def.value.stages.first() else {
            continue;
        };
        for (field, span) in settings(&def.value) {
            let message = format!("`{}` is tightened by hand, which has no `{field}`", def.id.text);
            findings.push(
                Finding::new(&RULE, span, message)
                    .also(stage.span, "by hand")
                    .help(format!("leave `{field}` out, or write the figure in place of `{HAND}`")),
            );
        }
    }
}

/// What is said that only a figure can have, by its field.
fn settings(torque: &Torque) -> Vec<(&'static str, Span)> {
    let adapter = torque.adapter.as_ref().and_then(|adapter| adapter.length.as_ref());
    [
        ("tolerance", torque.tolerance.as_ref().map(|t| t.span)),
        ("tool", torque.tool.as_ref().map(|t| t.span)),
        ("adapter", adapter.map(|length| length.span)),
        ("drag", torque.drag.as_ref().map(|d| d.span)),
    ]
    .into_iter()
    .filter_map(|(field, span)| Some((field, span?)))
    .collect()
}
