//! # The mark doesn't say what it needs to
//!
//! ## What it means
//! A mark with an id missing, one word too many, or no closing bracket.
//!
//! ## Why it matters
//! Half a mark can't be checked or printed.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! states: {drain: {values: [open, shut], start: open}}
//! ---
//!
//! 1. Shut the drain [set drain].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! states: {drain: {values: [open, shut], start: open}}
//! ---
//!
//! 1. Shut the drain [set drain=shut].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL021",
    name: "bad-mark-arguments",
    severity: Severity::Error,
    page: include_str!("bad_mark_arguments.rs"),
};

/// `wanted` says what belongs after the verb, `example` is one.
pub fn finding(span: Span, verb: &str, wanted: &str, example: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{verb}` takes {wanted}")).help(match example {
        "" => format!("write it like `[{verb}]`"),
        example => format!("write it like `[{verb} {example}]`"),
    })
}

/// What most who write a wait are after: `[wait]` prints how long something cures, and has no boxes.
const TIMER: &str = "a wait whose start and end are written down is a timer: declare it below `timers:` with `at-least:`, begin it with \
                     `[start ID]` and write `[end ID]` in the step that waits for it";

/// `[wait]` without the id of what cures.
pub fn wait(span: Span) -> Finding {
    let message = "`wait` takes the id of one consumable that cures";
    Finding::new(&RULE, span, message).help(format!("write it like `[wait sealant]`; {TIMER}"))
}

/// `[wait 30 min]`.
pub fn wait_for_a_time(span: Span, time: &str) -> Finding {
    let message = format!("`wait` takes the id of one consumable that cures, not a time such as `{time}`");
    Finding::new(&RULE, span, message).help(TIMER)
}

pub fn unclosed(span: Span) -> Finding {
    Finding::new(&RULE, span, "this mark has no closing bracket").help("write `]` after its last word")
}

/// Something other than plain words stands inside.
pub fn markup(span: Span) -> Finding {
    Finding::new(&RULE, span, "a mark can't hold emphasis, code or a link")
        .help("write its words plainly, and any emphasis round the whole mark")
}
