//! # Unknown value of a state or option
//!
//! ## What it means
//! `need`, `set`, `only` or an action names a value that the state or option doesn't have.
//!
//! ## Why it matters
//! The condition could never hold, so the step it guards would never be printed or the need never be met.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! states: {drain: {values: [open, shut], start: open}}
//! ---
//!
//! 1. Shut the drain. [set drain=closed]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! states: {drain: {values: [open, shut], start: open}}
//! ---
//!
//! 1. Shut the drain. [set drain=shut]
//! ```

use crate::finding::listed;
use crate::finding::{Finding, Rule, Severity, did_you_mean};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL108",
    name: "unknown-value",
    severity: Severity::Error,
    page: include_str!("unknown_value.rs"),
};

/// `owner` is the state or option, `values` what it takes.
pub fn finding(value: &Name, owner: &str, values: &[&str]) -> Finding {
    let finding = Finding::new(&RULE, value.span, format!("`{owner}` is never `{}`", value.text));
    match did_you_mean(&value.text, values.iter().copied()) {
        Some(near) => finding.guess(value.span, near, format!("did you mean `{near}`?")),
        None => finding.help(format!("write {}", listed(values, "or"))),
    }
}

/// A member of something that a machine has one of.
pub fn no_members(member: &Name, owner: &str) -> Finding {
    Finding::new(
        &RULE,
        member.span,
        format!(
            "`{owner}` is not one of each of a group, so there is no `{}` of it",
            member.text
        ),
    )
    .help(format!(
        "write `{owner}` alone, or give its entry `each:` and the group"
    ))
}
