//! # Unknown mark
//!
//! ## What it means
//! A bracketed word that is no verb of the authoring language.
//!
//! ## Why it matters
//! A misspelt mark prints as plain words: the torque it stood for would have no figure and no box.
//!
//! ## Example
//! ```markdown
//! 1. Tighten the [torqe head-bolts].
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Tighten the [torque head-bolts].
//! ```

use crate::finding::{Finding, Rule, Severity, did_you_mean};
use crate::source::Span;
use crate::syntax::VERBS;

pub static RULE: Rule = Rule {
    code: "BL020",
    name: "unknown-mark",
    severity: Severity::Error,
    page: include_str!("unknown_mark.rs"),
};

/// `span` is the verb's place, or the whole mark's if it is empty.
pub fn finding(span: Span, verb: &str) -> Finding {
    let verb = verb.trim();
    let message = if verb.is_empty() {
        "an empty bracket is not a mark".to_string()
    } else {
        format!("`{verb}` is not a mark")
    };
    let finding = Finding::new(&RULE, span, message);
    match did_you_mean(verb, VERBS) {
        Some(name) => finding.replace(span, name, format!("did you mean `{name}`?")),
        None => finding.help("for a bracket that is just a bracket, write `\\[`"),
    }
}
