//! # No torque tool reaches
//!
//! ## What it means
//! The shop's registers hold torque tools, and this torque lies outside the marked range of each (or of the one that is named).
//!
//! ## Why it matters
//! Somebody will use the nearest one, off its scale, where nobody knows what it gives.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 20..100 N·m}
//! torques:
//!   cover: {torque: 9 N·m}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 5..25 N·m}
//! torques:
//!   cover: {torque: 9 N·m}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL601",
    name: "no-tool-reaches",
    severity: Severity::Warning,
    page: include_str!("no_tool_reaches.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, tightening) in &facts.torques {
        let def = set.catalogue.torques.get(*handle);
        for (stage, tool) in def.value.stages.iter().zip(&tightening.stages) {
            if tool.tool.is_some() || tool.candidates.is_empty() || tool.uncorrected {
                continue;
            }
            let tools: Vec<String> = tool
                .candidates
                .iter()
                .filter_map(|t| {
                    let tool = &set.catalogue.tools[*t];
                    Some(format!("{} ({})", tool.name, tool.range.as_ref()?.value))
                })
                .collect();
            let drag = def.value.drag.as_ref().and_then(|drag| drag.value.known());
            let drag = drag.map_or_else(String::new, |drag| format!(" with {drag} of drag"));
            let message = format!("no torque tool reaches {}{drag}", stage.value);
            let named = def.value.tool.as_ref();
            let finding = Finding::new(&RULE, stage.span, message)
                .help(format!("add one that does; torque tools here: {}", tools.join(", ")));
            findings.push(
                named
                    .into_iter()
                    .fold(finding, |f, name| f.also(name.span, "asked for here")),
            );
        }
    }
}
