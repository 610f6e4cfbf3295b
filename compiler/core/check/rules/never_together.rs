//! # Defaults that never go together
//!
//! ## What it means
//! The defaults of the options are a combination that `never:` rules out.
//!
//! ## Why it matters
//! A plain build would print what the set says there is not, and nothing of it is checked.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! options:
//!   seal: {values: [lip, stack], default: stack}
//!   gland: {values: [ring, bonded], default: bonded}
//! never:
//!   - {seal: stack, gland: bonded}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Lip. [only seal=lip]
//! 2. Bond it. [only gland=bonded]
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! options:
//!   seal: {values: [lip, stack], default: lip}
//!   gland: {values: [ring, bonded], default: bonded}
//! never:
//!   - {seal: stack, gland: bonded}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Lip. [only seal=lip]
//! 2. Bond it. [only gland=bonded]
//! ```

use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Choices;

pub static RULE: Rule = Rule {
    code: "BL460",
    name: "never-together",
    severity: Severity::Error,
    page: include_str!("never_together.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    let catalogue = &walked.set.catalogue;
    let choices = Choices::defaults(catalogue);
    for never in walked.set.never.iter().filter(|never| choices.meet(&never.pairs)) {
        let mut finding = Finding::new(&RULE, never.span, "the defaults are a pair that never goes together");
        for pair in &never.pairs {
            if let Some(default) = &catalogue.options[pair.option].default {
                finding = finding.also(default.span, "one of the defaults");
            }
        }
        findings.push(finding.help("change one of the defaults, or the pair"));
    }
}
