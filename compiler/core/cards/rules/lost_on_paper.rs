//! # Something is lost on paper
//!
//! ## What it means
//! Every leaf is read back before it is written. Something that this leaf has, a step, a figure, a row, a box, is not on the page, or not whole, or
//! printed otherwise than it was written.
//!
//! ## Why it matters
//! Whoever works from the card does what it says. A figure that lost a digit and a row that fell off are not seen by anybody until it is too late.
//!
//! ## Example
//! ```markdown
//! 1. Tighten the [torque flange]. (and a template of your own that prints no second unit)
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Tighten the [torque flange]. (and the template prints all that the item has)
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL802",
    name: "lost-on-paper",
    severity: Severity::Error,
    page: include_str!("lost_on_paper.rs"),
};

/// The finding for what reading back found; `leaf` names the leaf, `words` say what is wrong.
pub fn found(span: Span, leaf: &str, words: &str) -> Finding {
    Finding::new(&RULE, span, format!("{leaf}: {words}")).help("print everything that the item has, with `item(…)` round it, as the README of the templates tells; with the built-in templates report it")
}
