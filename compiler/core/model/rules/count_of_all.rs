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
//! groups: {side: [left, right]}
//! parts: {fork: {each: side, qty: 1}}
//!
//! 1. Set in the [fit fork 2].
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Set in both. [fit fork]
//! 2. Set in the left one. [fit fork/left]
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
