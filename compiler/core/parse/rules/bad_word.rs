//! # Not one of the words this field takes
//!
//! ## What it means
//! The field takes one word of a short list, and this is none of them.
//!
//! ## Why it matters
//! A word the program doesn't know can't be checked or printed with its meaning.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   gasket: {reuse: never}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   gasket: {reuse: no}
//! ```

use crate::finding::listed;
use crate::finding::{Finding, Rule, Severity, did_you_mean};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL008",
    name: "bad-word",
    severity: Severity::Error,
    page: include_str!("bad_word.rs"),
};

pub fn finding(text: &Name, field: &str, words: &[&str]) -> Finding {
    let finding = Finding::new(&RULE, text.span, format!("`{}` is not a value of `{field}`", text.text));
    match did_you_mean(&text.text, words.iter().copied()) {
        Some(word) => finding.guess(text.span, word, format!("did you mean `{word}`?")),
        None => finding.help(format!("write {}", listed(words, "or"))),
    }
}
