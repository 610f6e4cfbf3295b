//! # It runs off the leaf or over something
//!
//! ## What it means
//! Something on this leaf lies outside the type area, over other letters or lines, is cut off, or can't be seen against its ground.
//!
//! ## Why it matters
//! What is punched away, welded into the pouch or printed over can't be read. It is nearly always too much for one leaf: a table of many rows, a message of many sentences.
//!
//! ## Example
//! ```markdown
//! > [!DANGER] Stored pressure
//! > (six hundred words)
//! ```
//!
//! ## Instead
//! ```markdown
//! > [!DANGER] Stored pressure
//! > (what happens, in one sentence; the rest stands in the introduction)
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL803",
    name: "misplaced-on-paper",
    severity: Severity::Error,
    page: include_str!("misplaced_on_paper.rs"),
};

/// The finding for what reading back found; `leaf` names the leaf, `words` say what is wrong.
pub fn found(span: Span, leaf: &str, words: &str) -> Finding {
    Finding::new(&RULE, span, format!("{leaf}: {words}"))
        .help("say it in fewer words, divide the step or the table, or print on larger paper")
}
