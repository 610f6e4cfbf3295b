//! # A calculation that can't be read
//!
//! ## What it means
//! The text of `calc:` is no calculation: an operator, a bracket, a figure or a list of sizes is not where it belongs.
//!
//! ## Why it matters
//! What can't be read can't be worked out, and the sheet would ask for a figure that nobody can get.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   bore: {limit: 65.00..65.03 mm}
//!   skirt: {limit: 64.93..64.95 mm}
//!   clearance: {limit: 0.05..0.10 mm, calc: bore -skirt}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! limits:
//!   bore: {limit: 65.00..65.03 mm}
//!   skirt: {limit: 64.93..64.95 mm}
//!   clearance: {limit: 0.05..0.10 mm, calc: bore - skirt}
//! ```

use crate::check::calc::{CalcFacts, Family};
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL350",
    name: "calc-not-readable",
    severity: Severity::Error,
    page: include_str!("calc_not_readable.rs"),
};

pub fn check(set: &Set, facts: &CalcFacts, findings: &mut Vec<Finding>) {
    for fault in facts.of(Family::Form) {
        let finding = Finding::new(&RULE, fault.place(set), fault.error.message());
        findings.push(finding.help(fault.error.help()));
    }
}
