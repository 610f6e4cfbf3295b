//! # A pass below the tool's scale
//!
//! ## What it means
//! The passes of a pattern share out the torque, and an early one lies below the marked range of every torque tool (or of the one that is
//! named).
//!
//! ## Why it matters
//! The card prints the torque of each pass, and the tool can't be set to this one.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 5..25 N·m}
//! torques:
//!   cover: {torque: 9 N·m, pattern: square}
//! patterns:
//!   square: {grid: {columns: 2, rows: 2, pitch: 60 mm}, passes: [50 %, 100 %]}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 5..25 N·m}
//! torques:
//!   cover: {torque: 9 N·m, pattern: square}
//! patterns:
//!   square: {grid: {columns: 2, rows: 2, pitch: 60 mm}, passes: [60 %, 100 %]}
//! ```

use crate::check::tightening::{self, TorqueFacts};
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL607",
    name: "pass-below-scale",
    severity: Severity::Warning,
    page: include_str!("pass_below_scale.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (torque, pattern) in &set.links.patterns {
        let spec = &set.catalogue.torques[*torque];
        let pattern = set.catalogue.patterns.get(*pattern);
        let tool = facts.torques.get(torque).and_then(|t| t.stages.first());
        let (Some(passes), [stage], Some(tool)) = (tightening::passes(set, *torque), spec.stages.as_slice(), tool)
        else {
            continue;
        };
        // Where no tool reaches the torque itself, that has been said.
        let (Some(figure), Some(own)) = (stage.value.torque(), &tool.tool) else {
            continue;
        };
        // Passes rise, so the first is the least.
        let parts = passes.shares().iter().zip(passes.torques(figure.target()));
        let Some(((share, part), None)) = parts.zip(&tool.passes).next() else {
            continue;
        };
        let tools: Vec<String> = tool
            .candidates
            .iter()
            .map(|t| &set.catalogue.tools[*t])
            .filter_map(|t| Some(format!("{} ({})", t.name, t.range.as_ref()?.value)))
            .collect();
        let (whose, with) = match own.lever.is_none() {
            true => ("", ""),
            false => (" at the fastener", "with the adapter "),
        };
        let scale = match tools.as_slice() {
            [_] => "of its torque tool",
            _ => "of every torque tool",
        };
        let message = format!("the pass of {share} comes to {part}{whose}, {with}below the scale {scale}");
        findings.push(
            Finding::new(&RULE, stage.span, message)
                .also(pattern.id.span, "the pattern with this pass")
                .help(format!(
                    "begin with a larger pass or use another tool; torque tools here: {}",
                    tools.join(", ")
                )),
        );
    }
}
