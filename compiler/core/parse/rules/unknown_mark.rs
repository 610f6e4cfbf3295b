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
use crate::syntax::Verb;

pub static RULE: Rule = Rule {
    code: "BL020",
    name: "unknown-mark",
    severity: Severity::Error,
    page: include_str!("unknown_mark.rs"),
};

/// `span` is the verb's place, or the whole mark's if it is empty.
pub fn finding(span: Span, verb: &str) -> Finding {
    misspelt(span, verb, None)
}

/// `near` is the verb that makes a mark of it.
pub fn misspelt(span: Span, verb: &str, near: Option<&str>) -> Finding {
    let verb = verb.trim();
    let message = if verb.is_empty() {
        "an empty bracket is not a mark".to_string()
    } else {
        format!("`{verb}` is not a mark")
    };
    let finding = Finding::new(&RULE, span, message);
    match near.or_else(|| did_you_mean(verb, Verb::words())) {
        Some(name) if near.is_none() => finding.help(format!("did you mean `{name}`?")),
        Some(name) => finding.guess(span, name, format!("did you mean `{name}`?")),
        None if verb.is_empty() => {
            finding.help("write a verb and an id in it; for a bracket that is just a bracket, write `\\[`")
        }
        None => finding.help(format!(
            "a mark starts with one of {}; for a bracket that is just a bracket, write `\\[`",
            Verb::words()
                .map(|verb| format!("`{verb}`"))
                .collect::<Vec<_>>()
                .join(", ")
        )),
    }
}

/// A word of the workshop in place of a verb. `fits` is false where more than the word has to change.
pub fn other_word(span: Span, word: &str, verb: &str, fits: bool) -> Finding {
    let finding = Finding::new(&RULE, span, format!("`{word}` is not a mark"));
    let help = format!("the mark for that is `{verb}`");
    if fits {
        finding.guess(span, verb, help)
    } else {
        finding.help(help)
    }
}
