//! # Unknown procedure
//!
//! ## What it means
//! `after`, `see` or `step` names a procedure that the set doesn't have.
//!
//! ## Why it matters
//! The card would send its reader nowhere.
//!
//! ## Example
//! ```yaml
//! after: [isolat]
//! ```
//!
//! ## Instead
//! ```yaml
//! after: [isolate]
//! ```

use crate::finding::{Finding, Rule, Severity, did_you_mean};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL105",
    name: "unknown-procedure",
    severity: Severity::Error,
    page: include_str!("unknown_procedure.rs"),
};

/// `known` are the procedures of the set.
pub fn finding<'a>(name: &Name, known: impl IntoIterator<Item = &'a str>) -> Finding {
    let finding = Finding::new(&RULE, name.span, format!("this set has no procedure `{}`", name.text));
    match did_you_mean(&name.text, known) {
        Some(near) => finding.guess(name.span, near, format!("did you mean `{near}`?")),
        None => finding.help("name a procedure by its file name without the leading number and `.md`"),
    }
}
