//! # Things that wait for each other
//!
//! ## What it means
//! By what the registers say, none of some parts and fasteners can come off or be loosened first: each waits for the next, and the last for the first.
//!
//! ## Why it matters
//! No machine is built like that. A tie points the wrong way, or stands at the wrong entry, and what must come off to reach a part can't be told.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover, covers: [screws]}
//! torques:
//!   screws: {name: cover screws, torque: 9 N·m, lubrication: dry, secures: [cover]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Look at the [use cover] and leave it on.
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover}
//! torques:
//!   screws: {name: cover screws, torque: 9 N·m, lubrication: dry, secures: [cover]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Look at the [use cover] and leave it on.
//! 2. Tighten the [torque screws] once more.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL462",
    name: "stuck-in-a-circle",
    severity: Severity::Error,
    page: include_str!("stuck_in_a_circle.rs"),
};

/// The entries round the circle, each waiting for the next, with where they are declared; `choices` in words, if it is so for some alone.
pub fn finding(path: &[(Span, String)], choices: &str) -> Option<Finding> {
    let ((first, start), rest) = path.split_first()?;
    let ids: Vec<String> = path.iter().map(|(_, id)| format!("`{id}`")).collect();
    let message = format!(
        "none of these can come off or be loosened first{choices}: {} → `{start}`",
        ids.join(" → ")
    );
    let finding = Finding::new(&RULE, *first, message).label("waits for the next");
    let finding = rest
        .iter()
        .fold(finding, |finding, (span, _)| finding.also(*span, "waits for the next"));
    Some(finding.help("take the tie away that isn't so, or turn it round"))
}
