//! # The gauge doesn't reach
//!
//! ## What it means
//! The limit lies outside the gauge's range.
//!
//! ## Why it matters
//! The measurement can't be taken with the gauge that the card names.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   micrometer: {kind: micrometer, range: 0..25 mm, resolution: 0.001 mm}
//! limits:
//!   pin: {limit: 29.98..30.00 mm, gauge: micrometer}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   micrometer: {kind: micrometer, range: 25..50 mm, resolution: 0.001 mm}
//! limits:
//!   pin: {limit: 29.98..30.00 mm, gauge: micrometer}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL605",
    name: "gauge-out-of-range",
    severity: Severity::Warning,
    page: include_str!("gauge_out_of_range.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, fit) in &facts.gauges {
        let def = set.catalogue.limits.get(*handle);
        let (Some(false), Some(limit), Some(gauge)) = (fit.in_range, &def.value.limit, set.links.gauges.get(handle))
        else {
            continue;
        };
        let tool = &set.catalogue.tools[*gauge];
        let range = tool
            .range
            .as_ref()
            .map_or_else(String::new, |r| format!(" ({})", r.value));
        let message = format!("{} lies outside the range of {}{range}", limit.value, tool.name);
        findings.push(Finding::new(&RULE, limit.span, message).help("name a gauge that reaches, or add one"));
    }
}
