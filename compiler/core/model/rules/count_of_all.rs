//! # A count of what there is one of for each member
//!
//! ## What it means
//! A mark outside `[each …]` names something that a group has one of each of, and gives a count.
//!
//! ## Why it matters
//! A bare id is all members. Two of them: of which?
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! groups: {side: [left, right]}
//! parts:
//!   fork: {name: fork, each: side}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Lift out the [remove fork 2].
//! 2. Set in the [fit fork].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! groups: {side: [left, right]}
//! parts:
//!   fork: {name: fork, each: side}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Lift out both. [remove fork]
//! 2. Set in the left one. [fit fork/left]
//! 3. Set in the right one. [fit fork/right 1]
//!
//! ## Again [each side]
//!
//! 1. Lift it out. [remove fork 1]
//! 2. Set it in. [fit fork]
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL116",
    name: "count-of-all",
    severity: Severity::Error,
    page: include_str!("count_of_all.rs"),
};

/// `id` is what is named.
pub fn finding(span: Span, id: &str, member: &str) -> Finding {
    let message = format!("`{id}` is one of each of a group, and a count doesn't say of which");
    Finding::new(&RULE, span, message).help(format!(
        "leave the count out for all of them, name one such as `{id}/{member}`, or put the step under `[each …]`"
    ))
}
