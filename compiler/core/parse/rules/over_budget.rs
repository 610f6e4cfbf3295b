//! # More than there may be
//!
//! ## What it means
//! Something goes past a budget: a text that is too long, lists within lists within lists, a limit with thousands of boxes. `explain budgets` lists
//! them. What goes past one is not read, and no card is printed.
//!
//! ## Why it matters
//! No procedure comes near. A set from somebody else that does is made to use up the machine that reads it, and one of your own holds something
//! that was saved by mistake.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the screws.
//!    > > > > > > > > > > > > One at a time.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Strip
//! ---
//!
//! 1. Undo the screws.
//!    > [!NOTE] One at a time.
//! ```

use crate::budgets::Budget;
use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL056",
    name: "over-budget",
    severity: Severity::Error,
    page: include_str!("over_budget.rs"),
};

/// `count` is how many there are; counting may have stopped at the first too many.
pub fn finding(span: Span, budget: &Budget, count: usize) -> Finding {
    let message = format!(
        "this goes past the budget `{}`: at least {count} {}, and there may be {}",
        budget.name, budget.of, budget.most
    );
    Finding::new(&RULE, span, message).help(
        "take it apart, or take out what doesn't belong here; `benchleaf explain budgets` lists what there may be",
    )
}
