//! # The gauge is too coarse for the limit
//!
//! ## What it means
//! The gauge's resolution is more than a tenth of the width of the limit (common practice, no source; `style.gauge-ratio` in `set.yaml` asks for another ratio).
//! A limit with one bound is judged by its last digit, and an upper bound by its size as well: `max 0.05 mm` needs what `0..0.05 mm` does.
//!
//! ## Why it matters
//! A reading can then be off by a good part of the limit, and a bad part passes.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   caliper: {kind: caliper, resolution: 0.1 mm}
//! limits:
//!   float: {limit: 0.20..0.40 mm, gauge: caliper}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   dial: {kind: dial-indicator, resolution: 0.01 mm}
//! limits:
//!   float: {limit: 0.20..0.40 mm, gauge: dial}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL604",
    name: "gauge-too-coarse",
    severity: Severity::Warning,
    page: include_str!("gauge_too_coarse.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, fit) in &facts.gauges {
        let def = set.catalogue.limits.get(*handle);
        let (Some(false), Some(limit), Some(gauge)) = (fit.fine_enough, &def.value.limit, set.links.gauges.get(handle))
        else {
            continue;
        };
        let name = &set.catalogue.tools[*gauge].name;
        let message = format!("{name} is too coarse for {}", limit.value);
        let help = format!("use a gauge that reads {} or finer", fit.needed);
        findings.push(Finding::new(&RULE, limit.span, message).help(help));
    }
}
