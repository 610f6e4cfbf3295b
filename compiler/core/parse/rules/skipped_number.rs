//! # A step number that is not the next
//!
//! ## What it means
//! The numbers of a list count up, and one of them leaves out a number, or stands twice. Markdown reads the first number of a list and counts
//! on by itself, and so does the card.
//!
//! A list in which every step is written as `1.` counts by itself, and nothing is said of it.
//!
//! ## Why it matters
//! A step may have got lost, and the steps behind it print with other numbers than the ones they were written with: who says "step 4" means
//! another step than the card.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Lay the shaft on two blocks.
//! 2. Turn it by hand.
//! 4. Wipe it.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Lay the shaft on two blocks.
//! 2. Turn it by hand.
//! 3. Wipe it.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL033",
    name: "skipped-number",
    severity: Severity::Warning,
    page: include_str!("skipped_number.rs"),
};

/// `number` stands where the one after `before` was due.
pub fn finding(span: Span, number: u64, before: u64) -> Finding {
    let next = before + 1;
    let message =
        format!("{number} follows {before} here: the card counts on by itself, so this prints with another number");
    let help = match number > next {
        true => format!("add the step that is missing, or write {next} here and count on from it"),
        false => format!("write {next} here and count on from it"),
    };
    Finding::new(&RULE, span, message).help(help)
}
