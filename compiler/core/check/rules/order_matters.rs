//! # Steps in any order that need their order
//!
//! ## What it means
//! Steps of a bullet list, bullets under a step and procedures that no `after` ties may be done in any order, and steps for each
//! member of a group side by side or member by member. In one of these orders something goes wrong that goes right as written: a
//! part is put on before the other is off, something is loosened that is tight by then, a state is needed that comes later, a step comes
//! to lie in the open time of a bead, another card ends while something is unsafe.
//!
//! ## Why it matters
//! Whoever works from the bottom up, or takes the other card first, does it wrong, and the cards say that is right.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! temporary: {plug: port plug}
//! ---
//!
//! - Fit the [fit plug].
//! - Blow through the port and take out the [remove plug].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! temporary: {plug: port plug}
//! ---
//!
//! 1. Fit the [fit plug].
//! 2. Blow through the port and take out the [remove plug].
//! ```

use crate::finding::{Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL434",
    name: "order-matters",
    severity: Severity::Error,
    page: include_str!("order_matters.rs"),
};
