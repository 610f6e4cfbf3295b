//! # A tool that gives no torque
//!
//! ## What it means
//! `tool:` of a torque names a tool whose range isn't one of torques, or whose kind is another's.
//!
//! ## Why it matters
//! The card says to tighten with something that can't be set to a torque.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 5..25 N·m}
//!   mic: {kind: micrometer, range: 0..25 mm}
//! torques:
//!   cover: {torque: 9 N·m, tool: mic}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 5..25 N·m}
//!   mic: {kind: micrometer, range: 0..25 mm}
//! torques:
//!   cover: {torque: 9 N·m, tool: wrench}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::check::tool_kinds::{Gives, gives};
use crate::domain::quantity::Dimension;
use crate::finding::listed;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;
use crate::model::registers::{Tool, Torque};

pub static RULE: Rule = Rule {
    code: "BL608",
    name: "no-torque-tool",
    severity: Severity::Error,
    page: include_str!("no_torque_tool.rs"),
};

pub fn check(set: &Set, _: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, tool) in &set.links.wrenches {
        let def = set.catalogue.torques.get(*handle);
        let Some(name) = def
            .value
            .tool
            .as_ref()
            // That any tool is too much has been said.
            .filter(|_| !def.value.is_by_hand() && !does(&set.catalogue.tools[*tool], &def.value))
        else {
            continue;
        };
        let fit = set.catalogue.tools.iter().filter(|(_, t)| {
            let range = t.value.range.as_ref();
            set.catalogue.sees(def.home, t.home) && range.is_some_and(|r| r.value.dimension() == Dimension::Torque)
        });
        let fit: Vec<&str> = fit.map(|(_, t)| t.id.text.as_str()).collect();
        let help = match fit.as_slice() {
            [] => "add a tool with a range of torques, such as `5..25 N·m`".to_string(),
            fit => format!("name a tool with a range of torques: {}", listed(fit, "or")),
        };
        findings.push(
            Finding::new(&RULE, name.span, format!("`{}` is no torque tool", name.text))
                .also(set.catalogue.tools.get(*tool).id.span, "this tool")
                .help(help),
        );
    }
}

/// True if a tool may be meant to tighten this: by its range, or by its kind where it has none.
fn does(tool: &Tool, torque: &Torque) -> bool {
    let turns = torque.stages.iter().any(|stage| stage.value.turn().is_some());
    match (&tool.range, &tool.kind) {
        (Some(range), _) => {
            let dimension = range.value.dimension();
            dimension == Dimension::Torque || dimension == Dimension::Angle && turns
        }
        (None, Some(kind)) => match gives(&kind.text) {
            Some(Gives::Angle) => turns,
            Some(Gives::Other) => false,
            Some(Gives::Torque | Gives::Anything) | None => true,
        },
        (None, None) => true,
    }
}
