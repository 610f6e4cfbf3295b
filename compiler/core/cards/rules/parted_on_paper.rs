//! # Parted from what it belongs with
//!
//! ## What it means
//! A step and its messages, table and hold points don't stand on one leaf, a row is cut, a heading stands alone, or things stand in another
//! order than they were written in.
//!
//! ## Why it matters
//! A warning that is read after turning the leaf is read too late, and a step whose table is overleaf is done without it. What fits on one leaf is kept on one; this
//! doesn't fit.
//!
//! ## Example
//! ```markdown
//! 1. Open the valve. (with forty messages before it)
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Look at the gauges. (twenty messages)
//! 2. Open the valve. (twenty messages)
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL804",
    name: "parted-on-paper",
    severity: Severity::Error,
    page: include_str!("parted_on_paper.rs"),
};

/// The finding for what reading back found; `leaf` names the leaf, `words` say what is wrong.
pub fn found(span: Span, leaf: &str, words: &str) -> Finding {
    Finding::new(&RULE, span, format!("{leaf}: {words}"))
        .help("divide the step, give it fewer messages or a smaller table, or print on larger paper")
}
