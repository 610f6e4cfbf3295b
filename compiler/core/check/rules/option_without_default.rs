//! # An option without a default
//!
//! ## What it means
//! An option has no `default`, so its first value is taken where nobody chooses.
//!
//! ## Why it matters
//! Cards printed without a thought then follow whatever was written first.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! options:
//!   seals: {what: Seals, values: {renew: They are old, keep: They are new}}
//! ---
//!
//! 1. Peel off the old seal. [only seals=renew]
//! 2. Wipe the seal. [only seals=keep]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! options:
//!   seals: {what: Seals, values: {renew: They are old, keep: They are new}, default: renew}
//! ---
//!
//! 1. Peel off the old seal. [only seals=renew]
//! 2. Wipe the seal. [only seals=keep]
//! ```

use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL431",
    name: "option-without-default",
    severity: Severity::Warning,
    page: include_str!("option_without_default.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for (_, def) in walked.set.catalogue.options.iter() {
        if def.value.default.is_none()
            && let Some((first, _)) = def.value.values.first()
        {
            let message = format!("`{}` has no default, so `{}` is taken", def.id.text, first.text);
            findings.push(Finding::new(&RULE, def.id.span, message).help("add `default:`"));
        }
    }
}
