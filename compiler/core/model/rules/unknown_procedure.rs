//! # Unknown procedure
//!
//! ## What it means
//! `after`, `see` or `step` names a procedure that the set doesn't have.
//!
//! ## Why it matters
//! The card would send its reader nowhere.
//!
//! ## Example
//! ```markdown 10-isolate.md
//! ---
//! title: Isolate
//! ---
//!
//! 1. Lock the supply off.
//! ```
//! ```markdown 20-close.md
//! ---
//! title: Close
//! after: [isolat]
//! ---
//!
//! 1. Put the cover on.
//! ```
//!
//! ## Instead
//! ```markdown 10-isolate.md
//! ---
//! title: Isolate
//! ---
//!
//! 1. Lock the supply off.
//! ```
//! ```markdown 20-close.md
//! ---
//! title: Close
//! after: [isolate]
//! ---
//!
//! 1. Put the cover on.
//! ```

use crate::finding::{Finding, Rule, Severity, did_you_mean};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL105",
    name: "unknown-procedure",
    severity: Severity::Error,
    page: include_str!("unknown_procedure.rs"),
};

/// `known` are the procedures of the set.
pub fn finding<'a>(name: &Name, known: impl IntoIterator<Item = &'a str>) -> Finding {
    let finding = Finding::new(&RULE, name.span, format!("this set has no procedure `{}`", name.text));
    match did_you_mean(&name.text, known) {
        Some(near) => finding.guess(name.span, near, format!("did you mean `{near}`?")),
        None => finding.help("name a procedure by its file name without the leading number and `.md`"),
    }
}
