//! # Unknown label
//!
//! ## What it means
//! `[step …]` points at a label that no step of that procedure has.
//!
//! ## Why it matters
//! A pointer to a step must print a number, and there is none.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Repeat [step crank-free].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Turn the crank. [label crank-free]
//! 2. Repeat [step crank-free].
//! ```

use crate::finding::{Finding, Rule, Severity, did_you_mean};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL106",
    name: "unknown-label",
    severity: Severity::Error,
    page: include_str!("unknown_label.rs"),
};

/// `procedure` is the one it should be in, unless it is the one that names it; `known` are the labels there.
pub fn finding<'a>(name: &Name, procedure: Option<&str>, known: impl IntoIterator<Item = &'a str>) -> Finding {
    let place = procedure.map_or_else(|| "this procedure".to_string(), |id| format!("`{id}`"));
    let finding = Finding::new(
        &RULE,
        name.span,
        format!("no step of {place} has the label `{}`", name.text),
    );
    match did_you_mean(&name.text, known) {
        Some(near) => finding.guess(name.span, near, format!("did you mean `{near}`?")),
        None if procedure.is_some() => {
            finding.help(format!("write `[label {}]` into the step that is meant", name.text))
        }
        None => finding.help(format!(
            "write `[label {0}]` into the step that is meant; a step of another procedure is `[step PROCEDURE/{0}]`",
            name.text
        )),
    }
}
