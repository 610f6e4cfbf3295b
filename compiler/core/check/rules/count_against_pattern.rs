//! # A count that isn't the pattern's
//!
//! ## What it means
//! A torque says how many fasteners it is of, and its pattern has another number of positions.
//!
//! ## Why it matters
//! The card says one number beside a drawing that shows another, and the fasteners over have no box to tick.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover: {count: 6, torque: 9 N·m, pattern: ring}
//! patterns:
//!   ring: {circle: {count: 4, diameter: 80 mm}}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover: {count: 4, torque: 9 N·m, pattern: ring}
//! patterns:
//!   ring: {circle: {count: 4, diameter: 80 mm}}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::domain::counted::counted;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL308",
    name: "count-against-pattern",
    severity: Severity::Error,
    page: include_str!("count_against_pattern.rs"),
};

pub fn check(set: &Set, _: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (torque, pattern) in &set.links.patterns {
        let pattern = set.catalogue.patterns.get(*pattern);
        let (Some(count), Some(places)) = (&set.catalogue.torques[*torque].count, &pattern.value.places) else {
            continue;
        };
        let positions = places.pattern.positions().len();
        if count.value as usize != positions {
            let message = format!(
                "the count is {}, and the pattern `{}` has {}",
                count.value,
                pattern.id.text,
                counted(positions, "position", "positions")
            );
            findings.push(
                Finding::new(&RULE, count.span, message)
                    .also(pattern.id.span, "the pattern")
                    .help(format!(
                        "write `count: {positions}`, or give every fastener its position"
                    )),
            );
        }
    }
}
