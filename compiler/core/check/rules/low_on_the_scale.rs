//! # Low on the tool's scale
//!
//! ## What it means
//! The torque lies below a fifth of the tool's full scale.
//!
//! ## Why it matters
//! Older declarations of accuracy begin at a fifth of full scale (ISO 6789:2003, US Army TM 1-1500-204-23-9); ISO 6789-1:2017 lets them begin at the lowest marked value. Look at the tool's own declaration.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   wrench: {kind: torque-wrench, range: 5..100 N·m}
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
use crate::domain::tool::Reach;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL602",
    name: "low-on-the-scale",
    severity: Severity::Advice,
    page: include_str!("low_on_the_scale.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (handle, tightening) in &facts.torques {
        let def = set.catalogue.torques.get(*handle);
        for (stage, tool) in def.value.stages.iter().zip(&tightening.stages) {
            let Some(chosen) = tool.tool.as_ref().filter(|chosen| chosen.fit.reach == Reach::LowEnd) else {
                continue;
            };
            let name = &set.catalogue.tools[chosen.tool].name;
            let message = format!("{} is below a fifth of the full scale of {name}", stage.value);
            findings.push(
                Finding::new(&RULE, stage.span, message)
                    .help("use a smaller tool, or see in its certificate how far down its accuracy holds"),
            );
        }
    }
}
