//! # A mark that can't mean anything here
//!
//! ## What it means
//! A question about a reading without an answer, a thing said to be spread on a face that isn't a consumable, a way back to a step that comes later, a way back out of steps that are done for each member at once.
//!
//! ## Why it matters
//! The card would ask something that nobody can do.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! groups: {side: [left, right]}
//! limits:
//!   play: {limit: max 2 mm}
//!   gap: {limit: max 2 mm, each: side}
//! tools:
//!   brush: {name: brush}
//! torques:
//!   nut: {torque: 9 N·m, lubrication: dry}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Measure the [measure play].
//! 2. Look at it. [if play]
//! 3. Brush the [use brush on nut].
//! 4. Go on. [if play out] [repeat later]
//! 5. Tighten the [torque nut]. [label later]
//!
//! ## Sides [each side]
//!
//! 1. Measure the [measure gap]. [label gap]
//! 2. Bend it. [if gap out] [repeat gap]
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! groups: {side: [left, right]}
//! limits:
//!   play: {limit: max 2 mm}
//!   gap: {limit: max 2 mm, each: side}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Measure the [measure play]. [label read]
//! 2. Look at it. [if play out] [repeat read]
//!
//! ## Sides [each side in turn]
//!
//! 1. Measure the [measure gap]. [label gap]
//! 2. Bend it. [if gap out] [repeat gap]
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL118",
    name: "misused-mark",
    severity: Severity::Error,
    page: include_str!("misused_mark.rs"),
};

/// `[if LIMIT]` without its answer.
pub fn no_answer(limit: &Name) -> Finding {
    let message = format!("`{}` is a reading, and this doesn't say which", limit.text);
    let help = format!(
        "write `[if {0} out]`, `[if {0} low]`, `[if {0} high]` or `[if {0} in]`",
        limit.text
    );
    Finding::new(&RULE, limit.span, message).help(help)
}

/// `[use … on X]` of what isn't a consumable.
pub fn nothing_to_spread(onto: &Name) -> Finding {
    Finding::new(&RULE, onto.span, "only a consumable goes on a joint or on fasteners")
        .help("leave `on` and its id out")
}

/// `[repeat …]` to a step that isn't earlier.
pub fn not_back(span: Span) -> Finding {
    Finding::new(&RULE, span, "this leads to a step that is still to come")
        .help("name a label of an earlier step of this card")
}

/// `[repeat …]` among steps that are done for all members at once.
pub fn repeat_for_each(span: Span) -> Finding {
    let message = "steps that are done for each member side by side can't be repeated for one of them";
    Finding::new(&RULE, span, message).help("write `in turn` behind the group, and the label inside its steps")
}

/// A group of a step under a heading that has one.
pub fn second_group(span: Span) -> Finding {
    Finding::new(
        &RULE,
        span,
        "the heading names a group already, and a step is done for one",
    )
    .help("take one of the two away")
}
