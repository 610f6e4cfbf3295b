//! # A calculation before its readings
//!
//! ## What it means
//! The step that works a measurement out comes before the one that takes a reading it is made of, or no step takes that reading.
//!
//! ## Why it matters
//! At the bench the figure is asked for when it can't be known yet.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! limits:
//!   bore: {limit: 65 H7}
//!   skirt: {limit: 64.93..64.95 mm}
//!   clearance: {limit: 0.05..0.10 mm, calc: bore - skirt}
//! ---
//!
//! 1. Work out the [measure clearance].
//! 2. Measure the [measure bore] and the [measure skirt].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! limits:
//!   bore: {limit: 65 H7}
//!   skirt: {limit: 64.93..64.95 mm}
//!   clearance: {limit: 0.05..0.10 mm, calc: bore - skirt}
//! ---
//!
//! 1. Measure the [measure bore] and the [measure skirt].
//! 2. Work out the [measure clearance].
//! ```

use crate::check::calc::CalcFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL355",
    name: "calc-before-its-readings",
    severity: Severity::Warning,
    page: include_str!("calc_before_its_readings.rs"),
};

pub fn check(set: &Set, facts: &CalcFacts, findings: &mut Vec<Finding>) {
    for late in &facts.late {
        let of = |handle| set.catalogue.limits.get(handle);
        let (calc, reading) = (of(late.calc), of(late.reading));
        let (calc, name) = (&calc.value.name, &reading.value.name);
        let finding = match late.taken {
            Some(taken) => Finding::new(
                &RULE,
                late.at,
                format!("{calc} is worked out before {name} is measured"),
            )
            .also(taken, "measured here"),
            None => Finding::new(
                &RULE,
                late.at,
                format!("{calc} is worked out, and no step measures {name}"),
            )
            .also(reading.id.span, "declared here"),
        };
        findings.push(finding.help(format!("put `[measure {}]` before it", reading.id.text)));
    }
}
