//! # A count that is not the part's
//!
//! ## What it means
//! A torque says how many fasteners there are and which part they are, and the part's `qty` is another.
//!
//! ## Why it matters
//! One of the two is wrong: either a hole stays empty, or the card has a box too many.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   screws: {qty: 6}
//! torques:
//!   screws: {torque: 9 N·m, count: 8, lubrication: dry, part: screws}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Tighten the [torque screws].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   screws: {qty: 6}
//! torques:
//!   screws: {torque: 9 N·m, count: 6, lubrication: dry, part: screws}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Tighten the [torque screws].
//! ```

use crate::domain::counted::counted;
use crate::finding::{Finding, Rule, Severity};
use crate::syntax::{At, Name};

pub static RULE: Rule = Rule {
    code: "BL115",
    name: "count-against-part",
    severity: Severity::Error,
    page: include_str!("count_against_part.rs"),
};

/// `part` is the part's id, `qty` what it says.
pub fn finding(count: &At<u32>, part: &Name, qty: u32) -> Finding {
    let fasteners = counted(count.value, "fastener", "fasteners");
    let message = format!(
        "{fasteners}, and `{}` is {}",
        part.text,
        counted(qty, "piece", "pieces")
    );
    Finding::new(&RULE, count.span, message)
        .also(part.span, "the part that they are")
        .help("make `count` and `qty` the same, or leave `count` out")
}
