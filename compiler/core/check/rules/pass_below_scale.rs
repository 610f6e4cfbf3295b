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
//! patterns:
//!   square: {grid: {columns: 2, rows: 2, pitch: 60 mm}, passes: [60 %, 100 %]}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::domain::limit::Interval;
use crate::domain::quantity::Measure;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;
use std::cmp::Ordering;

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
        // Passes share out one figure; a spec with stages of its own has them already.
        let ([stage], Some(passes)) = (spec.stages.as_slice(), &pattern.value.passes) else {
            continue;
        };
        let tool = facts.torques.get(torque).and_then(|t| t.stages.first());
        // Where no tool reaches the torque itself, that has been said.
        let (Some(figure), Some(tool)) = (stage.value.torque(), tool.filter(|t| t.tool.is_some())) else {
            continue;
        };
        let ranges: Vec<(&str, &Interval)> = tool
            .candidates
            .iter()
            .map(|t| &set.catalogue.tools[*t])
            .filter_map(|t| Some((t.name.as_str(), &t.range.as_ref()?.value)))
            .collect();
        let out_of_reach = |pass: &Measure| {
            let below = |range: &Interval| pass.compare(range.low()) == Some(Ordering::Less);
            ranges.iter().all(|(_, range)| below(range))
        };
        let at_wrench = tool.at_wrench.as_ref().unwrap_or(figure).target();
        let parts = passes.shares().iter().zip(passes.torques(at_wrench));
        // Passes rise, so the first is the least.
        let Some((share, part)) = parts
            .into_iter()
            .next()
            .filter(|(_, part)| out_of_reach(part.measure()))
        else {
            continue;
        };
        let tools: Vec<String> = ranges.iter().map(|(name, range)| format!("{name} ({range})")).collect();
        let whose = match tool.at_wrench {
            Some(_) => " at the wrench",
            None => "",
        };
        let scale = match ranges.as_slice() {
            [_] => "of its torque tool",
            _ => "of every torque tool",
        };
        let message = format!("the pass of {share} comes to {part}{whose}, below the scale {scale}");
        findings.push(
            Finding::new(&RULE, stage.span, message)
                .also(pattern.id.span, "the pattern with this pass")
                .help(format!(
                    "begin with a larger pass or use another tool; there is {}",
                    tools.join(", ")
                )),
        );
    }
}
