//! # Readings that don't pair
//!
//! ## What it means
//! It can't be told which reading belongs to which: there are three of one and two of the other, or a function that compares places has one reading alone.
//!
//! ## Why it matters
//! Whoever works it out would have to guess, and two people would get two results.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   bore: {limit: 65 H7, where: [top, middle, bottom]}
//!   skirt: {limit: 64.93..64.95 mm, where: [piston 1, piston 2]}
//!   clearance: {limit: 0.05..0.10 mm, where: [piston 1, piston 2], calc: bore - skirt}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   bore: {limit: 65 H7, where: {rows: [top, middle, bottom], columns: [piston 1, piston 2]}}
//!   skirt: {limit: 64.93..64.95 mm, where: [piston 1, piston 2]}
//!   clearance: {limit: 0.05..0.10 mm, where: [piston 1, piston 2], calc: max(bore) - skirt}
//! ```

use crate::check::calc::{CalcFacts, Family};
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL354",
    name: "calc-readings-unpaired",
    severity: Severity::Error,
    page: include_str!("calc_readings_unpaired.rs"),
};

pub fn check(set: &Set, facts: &CalcFacts, findings: &mut Vec<Finding>) {
    for fault in facts.of(Family::Readings) {
        let finding = Finding::new(&RULE, fault.place(set), fault.error.message());
        findings.push(finding.help(fault.error.help()));
    }
}
