//! # Too small to work from
//!
//! ## What it means
//! Letters under 10 pt, a box to tick under 5 mm, or a box to write in that holds no figure.
//!
//! ## Why it matters
//! Cards are read at arm's length, in gloves, in bad light. What can't be read is guessed.
//!
//! ## Example
//! ```markdown
//! #set text(size: 7pt) (in a template)
//! ```
//!
//! ## Instead
//! ```markdown
//! #set text(size: 12pt) (in a template)
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL806",
    name: "too-small-on-paper",
    severity: Severity::Error,
    page: include_str!("too_small_on_paper.rs"),
};

/// The finding for what reading back found; `leaf` names the leaf, `words` say what is wrong.
pub fn found(span: Span, leaf: &str, words: &str) -> Finding {
    Finding::new(&RULE, span, format!("{leaf}: {words}"))
        .help("make it larger: 12 pt for what is worked from, 10 pt at least")
}
