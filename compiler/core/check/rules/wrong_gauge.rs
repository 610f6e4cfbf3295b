//! # A gauge that reads something else
//!
//! ## What it means
//! The gauge of a limit reads in units of another dimension than the limit is in.
//!
//! ## Why it matters
//! The measurement can't be taken with the gauge that the card names.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   mic: {kind: micrometer, range: 0..25 mm, resolution: 0.001 mm}
//! limits:
//!   housing: {limit: max 50 °C, gauge: mic}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   thermometer: {kind: gauge, range: 0..200 °C, resolution: 1 °C}
//! limits:
//!   housing: {limit: max 50 °C, gauge: thermometer}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::domain::quantity::Dimension;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;
use crate::model::registers::Tool;

pub static RULE: Rule = Rule {
    code: "BL610",
    name: "wrong-gauge",
    severity: Severity::Error,
    page: include_str!("wrong_gauge.rs"),
};

pub fn check(set: &Set, _: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, gauge) in &set.links.gauges {
        let limit = &set.catalogue.limits[*handle];
        let tool = set.catalogue.tools.get(*gauge);
        // A result that is worked out has another dimension than the readings may have.
        let (Some(bounds), Some(name), None) = (&limit.limit, &limit.gauge, &limit.calc) else {
            continue;
        };
        let wanted = bounds.value.dimension();
        if let Some(reads) = reads(&tool.value).filter(|reads| *reads != wanted) {
            let message = format!("{} measures {reads}, and the limit is of {wanted}", tool.value.name);
            findings.push(
                Finding::new(&RULE, name.span, message)
                    .also(bounds.span, "the limit")
                    .help(format!("name a gauge that measures {wanted}, or add one")),
            );
        }
    }
}

/// What a gauge reads, if that is said.
fn reads(tool: &Tool) -> Option<Dimension> {
    let range = tool.range.as_ref().map(|r| r.value.dimension());
    let step = || tool.resolution.as_ref().or(tool.step.as_ref());
    range.or_else(|| step().map(|s| s.value.dimension()))
}
