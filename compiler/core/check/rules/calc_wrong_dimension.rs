//! # A calculation that mixes dimensions
//!
//! ## What it means
//! Two values that don't go together are added or compared, a temperature is treated as if its zero meant something, or the result is not what the limit measures.
//!
//! ## Why it matters
//! The figure would mean nothing: a length less a torque is neither.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   pull: {limit: 4..16 N}
//!   arm: {limit: 49..51 mm}
//!   drag: {limit: 0.2..0.8 N·m, calc: pull + arm}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   pull: {limit: 4..16 N}
//!   arm: {limit: 49..51 mm}
//!   drag: {limit: 0.2..0.8 N·m, calc: pull * arm}
//! ```

use crate::check::calc::{CalcFacts, Family};
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL352",
    name: "calc-wrong-dimension",
    severity: Severity::Error,
    page: include_str!("calc_wrong_dimension.rs"),
};

pub fn check(set: &Set, facts: &CalcFacts, findings: &mut Vec<Finding>) {
    for fault in facts.of(Family::Dimension) {
        let finding = Finding::new(&RULE, fault.place(set), fault.error.message());
        findings.push(finding.help(fault.error.help()));
    }
}
