//! # The gauge isn't accurate enough for the limit
//!
//! ## What it means
//! The gauge may be off by more than a quarter of half the width of the limit (a test accuracy ratio of 4 : 1, as in calibration:
//! MIL-STD-45662A, ANSI/NCSL Z540-1; from memory). A limit with one bound is judged by its last digit.
//!
//! ## Why it matters
//! A fine scale says nothing of what it is off by: a reading can show thousandths and be a hundredth wrong.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   caliper: {kind: caliper, resolution: 0.01 mm, accuracy: ± 0.03 mm}
//! limits:
//!   pin: {limit: 19.90..20.00 mm, gauge: caliper}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   micrometer: {kind: micrometer, resolution: 0.001 mm, accuracy: ± 0.004 mm}
//! limits:
//!   pin: {limit: 19.90..20.00 mm, gauge: micrometer}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL612",
    name: "gauge-inaccurate",
    severity: Severity::Warning,
    page: include_str!("gauge_inaccurate.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, fit) in &facts.gauges {
        let def = set.catalogue.limits.get(*handle);
        let (Some(false), Some(limit), Some(gauge)) =
            (fit.accurate_enough, &def.value.limit, set.links.gauges.get(handle))
        else {
            continue;
        };
        let tool = set.catalogue.tools.get(*gauge);
        let accuracy = tool.value.accuracy.as_ref();
        let off = accuracy.map_or_else(String::new, |a| format!(" ({})", a.value));
        let message = format!("{}{off} isn't accurate enough for {}", tool.value.name, limit.value);
        let finding = Finding::new(&RULE, limit.span, message);
        let finding = accuracy
            .into_iter()
            .fold(finding, |f, accuracy| f.also(accuracy.span, "by this accuracy"));
        findings.push(finding.help(format!(
            "use a gauge that is right to ± {} or better",
            fit.needed_accuracy
        )));
    }
}
