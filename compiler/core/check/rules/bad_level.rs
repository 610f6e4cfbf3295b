//! # A finding that can't be allowed or denied
//!
//! ## What it means
//! `allow:` or `deny:` in `set.yaml` names a code that no finding has, or allows an error.
//!
//! ## Why it matters
//! Whoever wrote it takes it that the finding is dealt with. An error can't be allowed: no card is printed from a set with one.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! allow:
//!   BL999: We know.
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! allow:
//!   BL701: The long sentences are the customer's own.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::model::Name;

pub static RULE: Rule = Rule {
    code: "BL131",
    name: "bad-level",
    severity: Severity::Error,
    page: include_str!("bad_level.rs"),
};

pub fn unknown(name: &Name) -> Finding {
    Finding::new(&RULE, name.span, format!("there is no finding `{}`", name.text))
        .help("`benchleaf explain` lists them; leave out a code that only a later benchleaf has")
}

/// Only warnings and advice can be allowed.
pub fn error(name: &Name) -> Finding {
    Finding::new(
        &RULE,
        name.span,
        format!("`{}` is an error, which can't be allowed", name.text),
    )
    .help("mend what it tells of")
}
