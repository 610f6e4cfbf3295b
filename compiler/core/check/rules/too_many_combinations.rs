//! # Too many combinations to check
//!
//! ## What it means
//! So many options bear on one thing, each in its own way, that not every combination could be followed. The rules of the ledger say nothing
//! about this one thing; everything else is checked.
//!
//! ## Why it matters
//! What isn't checked may be wrong. In a real set this takes some twenty options that each change the length of the same window.
//!
//! ## Example
//! Seven options that each lengthen one window in a way of its own:
//! ```yaml
//! machine: Invented pump
//! title: Example
//! allow: {long-phase: twenty-one rows of dowels}
//! ```
//! ```markdown
//! ---
//! title: Example
//! options:
//!   a: {what: Row A, values: [0, 1, 2, 3, 4, 5, 6, 7], default: 0}
//!   b: {what: Row B, values: [0, 1, 2, 3, 4, 5, 6, 7], default: 0}
//!   c: {what: Row C, values: [0, 1, 2, 3, 4, 5, 6, 7], default: 0}
//!   d: {what: Row D, values: [0, 1, 2, 3, 4, 5, 6, 7], default: 0}
//!   e: {what: Row E, values: [0, 1, 2, 3, 4, 5, 6, 7], default: 0}
//!   f: {what: Row F, values: [0, 1, 2, 3, 4, 5, 6, 7], default: 0}
//!   g: {what: Row G, values: [0, 1, 2, 3, 4, 5, 6, 7], default: 0}
//! timers: {open: {what: the sealant is open, within: 600 h}}
//! ---
//!
//! 1. Roll on the sealant. [start open] [time 1 min]
//! 2. Set dowels of row A. [only a=1|3|5|7] [time 1 s]
//! 3. Set dowels of row A. [only a=2|3|6|7] [time 2 s]
//! 4. Set dowels of row A. [only a=4|5|6|7] [time 4 s]
//! 5. Set dowels of row B. [only b=1|3|5|7] [time 8 s]
//! 6. Set dowels of row B. [only b=2|3|6|7] [time 16 s]
//! 7. Set dowels of row B. [only b=4|5|6|7] [time 32 s]
//! 8. Set dowels of row C. [only c=1|3|5|7] [time 64 s]
//! 9. Set dowels of row C. [only c=2|3|6|7] [time 128 s]
//! 10. Set dowels of row C. [only c=4|5|6|7] [time 256 s]
//! 11. Set dowels of row D. [only d=1|3|5|7] [time 512 s]
//! 12. Set dowels of row D. [only d=2|3|6|7] [time 1024 s]
//! 13. Set dowels of row D. [only d=4|5|6|7] [time 2048 s]
//! 14. Set dowels of row E. [only e=1|3|5|7] [time 4096 s]
//! 15. Set dowels of row E. [only e=2|3|6|7] [time 8192 s]
//! 16. Set dowels of row E. [only e=4|5|6|7] [time 16384 s]
//! 17. Set dowels of row F. [only f=1|3|5|7] [time 32768 s]
//! 18. Set dowels of row F. [only f=2|3|6|7] [time 65536 s]
//! 19. Set dowels of row F. [only f=4|5|6|7] [time 131072 s]
//! 20. Set dowels of row G. [only g=1|3|5|7] [time 262144 s]
//! 21. Set dowels of row G. [only g=2|3|6|7] [time 524288 s]
//! 22. Set dowels of row G. [only g=4|5|6|7] [time 1048576 s]
//! 23. Set on the cover. [end open] [time 1 min]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! timers: {open: {what: the sealant is open, within: 20 min}}
//! ---
//!
//! 1. Set the dowels that this job has.
//! 2. Roll on the sealant. [start open] [time 1 min]
//! 3. Set on the cover. [end open] [time 1 min]
//! ```

use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL435",
    name: "too-many-combinations",
    severity: Severity::Advice,
    page: include_str!("too_many_combinations.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for (span, id) in &walked.ledger.unchecked {
        let message = format!("too many combinations of choices bear on `{id}` to check them all");
        findings.push(Finding::new(&RULE, *span, message).help("let fewer options decide which of its steps are done"));
    }
}
