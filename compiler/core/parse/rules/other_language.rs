//! # A set in another language
//!
//! ## What it means
//! `benchleaf:` in `set.yaml` says in which version of the authoring language the set is written. This program reads version 1.
//!
//! ## Why it matters
//! A word may mean something else in another version. A set in a later one is not read at all; what else would be said of it would be wrong.
//!
//! ## Example
//! ```yaml
//! benchleaf: 2
//! machine: Invented pump
//! title: Rebuild
//! ```
//!
//! ## Instead
//! ```yaml
//! benchleaf: 1
//! machine: Invented pump
//! title: Rebuild
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::LANGUAGE;
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL055",
    name: "other-language",
    severity: Severity::Error,
    page: include_str!("other_language.rs"),
};

pub fn check(version: &Name) -> Option<Finding> {
    let message = match version.text.parse::<u32>() {
        Ok(LANGUAGE) => return None,
        Ok(later) if later > LANGUAGE => {
            let message =
                format!("this set is written in language {later}, and this program reads language {LANGUAGE}");
            let help = format!(
                "take a benchleaf that reads language {later}: `benchleaf --version` tells which one a program reads"
            );
            return Some(Finding::new(&RULE, version.span, message).help(help));
        }
        Ok(earlier) => format!("there is no language {earlier}: the first is {LANGUAGE}"),
        Err(_) => format!("`{}` is not the number of a language", version.text),
    };
    // Which language was meant, nobody but the author knows.
    Some(Finding::new(&RULE, version.span, message).guess(
        version.span,
        LANGUAGE.to_string(),
        format!("write `{LANGUAGE}` if the set is written in it"),
    ))
}

/// True of a set that this program can't read at all.
pub fn is_later(finding: &Finding) -> bool {
    finding.rule == &RULE && finding.fix.as_ref().is_some_and(|fix| fix.replace.is_none())
}
