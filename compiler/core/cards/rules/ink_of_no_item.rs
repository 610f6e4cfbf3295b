//! # Ink that belongs to nothing
//!
//! ## What it means
//! Something is printed on this leaf that no item of it stands behind: neither `item(…)` nor `own(…)` is round it in the template.
//!
//! ## Why it matters
//! What is printed is what was checked, and this was not. Head, foot and rules are all that may stand outside.
//!
//! ## Example
//! ```markdown
//! #strong[Always use 30 N·m] (in a template)
//! ```
//!
//! ## Instead
//! ```markdown
//! #own("words", strong[Read the card to its end first]) (in a template)
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL805",
    name: "ink-of-no-item",
    severity: Severity::Error,
    page: include_str!("ink_of_no_item.rs"),
};

/// The finding for what reading back found; `leaf` names the leaf, `words` say what is wrong.
pub fn found(span: Span, leaf: &str, words: &str) -> Finding {
    Finding::new(&RULE, span, format!("{leaf}: {words}"))
        .help("put `item(…)` round what the template prints of the data, and `own(…)` round its own words")
}
