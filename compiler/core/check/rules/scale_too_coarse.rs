//! # The tool's scale misses the tolerance
//!
//! ## What it means
//! The nearest mark on the tool's scale gives a torque outside the tolerance at the fastener. A torque without a tolerance is held to ± 10 %
//! (US Army TM 9-2330-272-14, paragraph G-2 b: the tolerance unless another is given).
//!
//! ## Why it matters
//! The tool can't be set to what is asked, and the card would print a setting that is wrong.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 40..200 N·m, step: 10 N·m}
//! torques:
//!   hub: {torque: 44 N·m ± 5 %}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 40..200 N·m, step: 1 N·m}
//! torques:
//!   hub: {torque: 44 N·m ± 5 %}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::domain::tool::UNSTATED_TOLERANCE;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;
use rust_decimal::Decimal;

pub static RULE: Rule = Rule {
    code: "BL603",
    name: "scale-too-coarse",
    severity: Severity::Error,
    page: include_str!("scale_too_coarse.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, tightening) in &facts.torques {
        let def = set.catalogue.torques.get(*handle);
        for (stage, tool) in def.value.stages.iter().zip(&tightening.stages) {
            let Some(chosen) = &tool.tool else { continue };
            let Some(setting) = chosen.fit.setting.as_ref().filter(|s| s.misses) else {
                continue;
            };
            let name = &set.catalogue.tools[chosen.tool].name;
            let way = if setting.error < 0.0 { "under" } else { "over" };
            let off = setting.error.abs() * 100.0;
            let adapter = if chosen.lever.is_none() {
                ""
            } else {
                " with this adapter"
            };
            let bounded = stage.value.torque().is_some_and(|t| t.has_bounds()) || def.value.tolerance.is_some();
            let outside = match bounded {
                true => format!("outside the tolerance of {}", stage.value),
                false => format!(
                    "more than the ± {} % that a torque without a tolerance gets",
                    (UNSTATED_TOLERANCE * Decimal::ONE_HUNDRED).normalize()
                ),
            };
            let message = format!(
                "{name} can be set to {} at best{adapter}: {off:.0} % {way} {}, {outside}",
                setting.setting,
                stage
                    .value
                    .torque()
                    .map_or_else(String::new, |t| t.target().to_string()),
            );
            let help = match bounded {
                true => "use a tool with a finer scale",
                false => "use a tool with a finer scale, or give the torque its tolerance",
            };
            findings.push(Finding::new(&RULE, stage.span, message).help(help));
        }
    }
}
