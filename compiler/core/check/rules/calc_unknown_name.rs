//! # A calculation with a name nobody has
//!
//! ## What it means
//! A name in `calc:` is no entry of `limits` that can be seen from here.
//!
//! ## Why it matters
//! There is no reading to put in its place.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   bore: {limit: 65 H7}
//!   wear: {limit: max 0.05 mm, calc: bores - 65 mm}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   bore: {limit: 65 H7}
//!   wear: {limit: max 0.05 mm, calc: bore - 65 mm}
//! ```

use crate::check::calc::{CalcFacts, Family};
use crate::domain::calc::CalcErrorKind;
use crate::finding::{Finding, Rule, Severity, did_you_mean};
use crate::model::Set;
use crate::model::registers::Register;

pub static RULE: Rule = Rule {
    code: "BL351",
    name: "calc-unknown-name",
    severity: Severity::Error,
    page: include_str!("calc_unknown_name.rs"),
};

pub fn check(set: &Set, facts: &CalcFacts, findings: &mut Vec<Finding>) {
    for fault in facts.of(Family::Name) {
        let CalcErrorKind::UnknownName(name) = &fault.error.kind else {
            continue;
        };
        let (at, home) = (fault.place(set), set.catalogue.limits.get(fault.limit).home);
        let finding = Finding::new(&RULE, at, fault.error.message());
        let is_limit = |id: &str| set.catalogue.find(home, Register::Limits, id).is_some();
        let near = did_you_mean(name, set.catalogue.visible(home, &[Register::Limits]));
        findings.push(match (difference(name, is_limit), near) {
            (Some(spaced), _) => finding.replace(at, spaced, "put a space on both sides of `-`"),
            (None, Some(near)) => finding.guess(at, near, format!("did you mean `{near}`?")),
            (None, None) => finding.help(fault.error.help()),
        });
    }
}

/// `a - b` for `a-b`, where both are ids of limits.
fn difference(name: &str, is_limit: impl Fn(&str) -> bool) -> Option<String> {
    let mut splits = name
        .match_indices('-')
        .filter_map(|(at, sign)| Some((name.get(..at)?, name.get(at + sign.len()..)?)));
    let (left, right) = splits.find(|(left, right)| is_limit(left) && is_limit(right))?;
    Some(format!("{left} - {right}"))
}
