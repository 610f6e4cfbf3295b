//! # More ways to do it than are tried
//!
//! ## What it means
//! A set leaves the order of some things open: of bullets, of procedures that no `after` ties, of steps for each member; or it goes back in more
//! ways than can be followed. Of those that may come to something else only so many are tried. Here there are more, and not all of them were.
//! What was tried holds; the rest is not checked.
//!
//! ## Why it matters
//! Nobody has looked at the orders that are left, and in one of them something may be put on before what belongs under it.
//!
//! ## Example
//! Six bullets that all put the same state another way, so that each order of them comes to something else:
//! ```markdown
//! ---
//! title: Example
//! states: {valve: {values: [shut, low, half, most, high, open], start: shut}}
//! ---
//!
//! - Look at the gauge. [set valve=low]
//! - Feel the pipe. [set valve=half]
//! - Listen at the case. [set valve=most]
//! - Look at the glass. [set valve=high]
//! - Look at the drain. [set valve=open]
//! - Look at the vent. [set valve=shut]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! states: {valve: {values: [shut, low, half, most, high, open], start: shut}}
//! ---
//!
//! 1. Look at the gauge. [set valve=low]
//! 2. Feel the pipe. [set valve=half]
//! 3. Listen at the case. [set valve=most]
//! 4. Look at the glass. [set valve=high]
//! 5. Look at the drain. [set valve=open]
//! 6. Look at the vent. [set valve=shut]
//! ```

use crate::check::ledger::Left;
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL461",
    name: "not-all-tried",
    severity: Severity::Warning,
    page: include_str!("not_all_tried.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for untried in &walked.ledger.untried {
        let (message, help) = match untried.what {
            Left::Steps => (
                "these steps may be done in more orders that can come to something else than are tried",
                "number those whose order matters",
            ),
            Left::Procedures => (
                "the procedures may be done in more orders that can come to something else than are tried",
                "say with `after` which comes before which",
            ),
            Left::Together => (
                "the orders that this set leaves open are too many to be tried together: here and further down each was only tried by itself",
                "number steps whose order matters, and tie procedures with `after`",
            ),
            Left::Repeats => (
                "the ways back of this set meet each other in more ways than are followed",
                "let fewer `[repeat …]` lead back over each other",
            ),
            Left::Choices => (
                "something may be wrong here for some choices, and there are too many of them to tell",
                "let fewer options and answers bear on this",
            ),
        };
        findings.push(Finding::new(&RULE, untried.at, message.to_string()).help(help.to_string()));
    }
}
