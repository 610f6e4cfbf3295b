//! # The tool's scale misses the tolerance
//!
//! ## What it means
//! The nearest mark on the tool's scale lies outside the tolerance of the torque.
//!
//! ## Why it matters
//! The tool can't be set to what is asked.
//!
//! ## Example
//! ```yaml
//! tools:
//!   wrench: {kind: torque-wrench, range: 40..200 N·m, step: 10 N·m}
//! torques:
//!   hub: {torque: 44 N·m ± 5 %}
//! ```
//!
//! ## Instead
//! ```yaml
//! tools:
//!   wrench: {kind: torque-wrench, range: 40..200 N·m, step: 1 N·m}
//! torques:
//!   hub: {torque: 44 N·m ± 5 %}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL603",
    name: "scale-too-coarse",
    severity: Severity::Warning,
    page: include_str!("scale_too_coarse.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, tightening) in &facts.torques {
        let def = set.catalogue.torques.get(*handle);
        for (stage, tool) in def.value.stages.iter().zip(&tightening.stages) {
            let Some((handle, fit)) = &tool.tool else { continue };
            let Some(setting) = fit.setting.as_ref().filter(|s| s.within_tolerance == Some(false)) else {
                continue;
            };
            let name = &set.catalogue.tools[*handle].name;
            let message = format!(
                "{name} can be set to {} at best, which is outside the tolerance of {}",
                setting.setting, stage.value
            );
            findings.push(Finding::new(&RULE, stage.span, message).help("use a tool with a finer scale"));
        }
    }
}
