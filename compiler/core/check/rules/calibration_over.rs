//! # The calibration is over
//!
//! ## What it means
//! A wrench or gauge that this set uses was calibrated until a day that has passed. Which day it is now is an argument (`--today`): without
//! it nothing is judged, so that the same files always give the same result. A record is judged by its own dates.
//!
//! ## Why it matters
//! What the tool shows is then what it showed a year or more ago. ISO 6789:2003 asks for a setting wrench to be calibrated again after
//! twelve months or 5000 cycles (from memory).
//!
//! ## Example
//! ```yaml
//! tools:
//!   wrench: {kind: torque-wrench, range: 5..25 N·m, calibrated-until: 2025-03-31}
//! ```
//!
//! ## Instead
//! ```yaml
//! tools:
//!   wrench: {kind: torque-wrench, range: 5..25 N·m, calibrated-until: 2026-03-31}
//! ```

use crate::check::Facts;
use crate::check::tightening;
use crate::check::walk::{Flow, What};
use crate::finding::{Finding, Rule, Severity};
use crate::model::registers::Tool;
use crate::model::{Handle, Model, Set, Thing};
use jiff::civil::Date;
use std::collections::BTreeSet;

pub static RULE: Rule = Rule {
    code: "BL613",
    name: "calibration-over",
    severity: Severity::Warning,
    page: include_str!("calibration_over.rs"),
};

/// Every tool in use whose calibration ended before a day. `facts` are those of each set, in the model's order.
pub fn check(model: &Model, facts: &[Facts], today: Date) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (set, facts) in model.sets.iter().zip(facts) {
        for handle in in_use(set, facts) {
            let tool = &set.catalogue.tools[handle];
            let Some(until) = tool.calibrated_until.as_ref().filter(|until| until.value < today) else {
                continue;
            };
            let number = tool
                .number
                .as_ref()
                .map_or_else(String::new, |n| format!(" ({})", n.text));
            let message = format!(
                "{}{number} was calibrated until {}, and it is {today}",
                tool.name, until.value
            );
            findings
                .push(Finding::new(&RULE, until.span, message).help("have it calibrated, or use another until it is"));
        }
    }
    findings.sort_by(Finding::order);
    // A tool of the shop is met once by every set below it.
    findings.dedup();
    findings
}

/// The tools that torques are set on, limits are measured with and steps name.
fn in_use(set: &Set, facts: &Facts) -> BTreeSet<Handle<Tool>> {
    let torques = set.catalogue.torques.iter();
    let mut tools: BTreeSet<Handle<Tool>> = torques
        .flat_map(|(torque, _)| tightening::tools(set, &facts.torques, torque))
        .collect();
    tools.extend(set.links.gauges.values());
    for event in Flow::new(set).stops.iter().flat_map(|stop| &stop.events) {
        if let What::Use(Thing::Tool(tool), _) = event.what {
            tools.insert(tool);
        }
    }
    tools
}
