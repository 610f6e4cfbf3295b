//! # The tool's accuracy may miss the tolerance
//!
//! ## What it means
//! The setting lies inside the tolerance, and with what the tool may be off by its `accuracy:` it may not. A torque without a tolerance is
//! held to ± 10 % (US Army TM 9-2330-272-14, paragraph G-2 b).
//!
//! ## Why it matters
//! A wrench of ± 4 % set at the edge of ± 5 % gives less or more than is allowed every few bolts.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 10..60 N·m, step: 1 N·m, accuracy: ± 4 %}
//! torques:
//!   hub: {torque: 22.5 N·m ± 5 %}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 10..60 N·m, step: 0.5 N·m, accuracy: ± 4 %}
//! torques:
//!   hub: {torque: 22.5 N·m ± 5 %}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL611",
    name: "tool-may-miss",
    severity: Severity::Warning,
    page: include_str!("tool_may_miss.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, tightening) in &facts.torques {
        let def = set.catalogue.torques.get(*handle);
        for (stage, tool) in def.value.stages.iter().zip(&tightening.stages) {
            let Some(chosen) = &tool.tool else { continue };
            // What misses at the mark itself has been told.
            let missing = |s: &&crate::domain::tool::Setting| s.may_miss == Some(true) && !s.misses;
            let Some(setting) = chosen.fit.setting.as_ref().filter(missing) else {
                continue;
            };
            let own = set.catalogue.tools.get(chosen.tool);
            let Some(accuracy) = &own.value.accuracy else { continue };
            let off = |share: f64| format!("{:+.0} %", (share - 1.0) * 100.0).replace('-', "−");
            let message = format!(
                "{} set to {} may give {} to {} of what is asked by its accuracy of {}, more than {} allows",
                own.value.name,
                setting.setting,
                off(setting.spread.0),
                off(setting.spread.1),
                accuracy.value,
                match (
                    stage.value.torque().is_some_and(|t| t.has_bounds()),
                    &def.value.tolerance
                ) {
                    (true, _) => stage.value.to_string(),
                    (false, Some(tolerance)) => format!("{} {}", stage.value, tolerance.value),
                    (false, None) => format!("the ± 10 % that {} gets without a tolerance", stage.value),
                }
            );
            findings.push(
                Finding::new(&RULE, stage.span, message)
                    .also(accuracy.span, "by this accuracy")
                    .help("use a tool with a finer scale or a better accuracy"),
            );
        }
    }
}
