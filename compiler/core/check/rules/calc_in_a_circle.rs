//! # Calculations that wait for each other
//!
//! ## What it means
//! A measurement is worked out from itself, straight or by way of others.
//!
//! ## Why it matters
//! Nobody can begin.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   pack: {limit: 0.3..0.8 mm, calc: play + 0.3 mm}
//!   play: {limit: 0.02..0.06 mm, calc: pack - 0.3 mm}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   gap: {limit: 0.3..0.8 mm}
//!   pack: {limit: 0.3..0.8 mm, calc: gap + 0.04 mm}
//! ```

use crate::check::calc::CalcFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL353",
    name: "calc-in-a-circle",
    severity: Severity::Error,
    page: include_str!("calc_in_a_circle.rs"),
};

pub fn check(set: &Set, facts: &CalcFacts, findings: &mut Vec<Finding>) {
    for circle in &facts.circles {
        let names: Vec<&str> = circle
            .iter()
            .map(|h| set.catalogue.limits.get(*h).id.text.as_str())
            .collect();
        let (Some(first), Some(handle)) = (names.first(), circle.first()) else {
            continue;
        };
        let Some(calc) = &set.catalogue.limits[*handle].calc else {
            continue;
        };
        let others: String = names.iter().skip(1).map(|n| format!("`{n}`, that from ")).collect();
        let message = match names.len() {
            1 => format!("`{first}` is worked out from itself"),
            _ => format!("`{first}` is worked out from {others}`{first}`"),
        };
        findings.push(Finding::new(&RULE, calc.span, message).help("measure one of them"));
    }
}
