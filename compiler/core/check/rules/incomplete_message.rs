//! # A safety message that leaves something out
//!
//! ## What it means
//! A message says three things: the hazard (on the line of its tag), what happens, and, on a line that starts `Avoid:`, how to avoid it. One of
//! them is missing. Notes are not meant.
//!
//! ## Why it matters
//! "Danger!" tells nobody what to look for, how bad it is or what to do. The three parts are what ANSI Z535.6 and ISO 3864-2 ask of a message
//! (`compiler/tables/safety-rules.csv`).
//!
//! ## Example
//! ```markdown
//! ---
//! title: Drain
//! ---
//!
//! > [!WARNING] Hot oil
//!
//! 1. Take out the plug.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Drain
//! ---
//!
//! > [!WARNING] Hot oil
//! > It scalds hands when the plug comes out.
//! > Avoid: gloves on, and an hour's wait after a run.
//!
//! 1. Take out the plug.
//! ```

use crate::check::hazards::{plain, plain_block};
use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Message;
use crate::model::{Block, Level};

pub static RULE: Rule = Rule {
    code: "BL503",
    name: "incomplete-message",
    severity: Severity::Warning,
    page: include_str!("incomplete_message.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    for procedure in &walked.set.procedures {
        procedure.messages.iter().for_each(|m| look(m, findings));
        for phase in &procedure.phases {
            phase.messages.iter().for_each(|m| look(m, findings));
        }
        for (_, step) in procedure.steps() {
            step.messages.iter().for_each(|m| look(m, findings));
        }
    }
}

fn look(message: &Message, findings: &mut Vec<Finding>) {
    let silent = |blocks: &[Block]| blocks.iter().all(|block| plain_block(block).trim().is_empty());
    let mut missing = Vec::new();
    if plain(&message.hazard).trim().is_empty() {
        missing.push("the hazard");
    }
    if silent(&message.consequence) {
        missing.push("what happens");
    }
    if silent(&message.avoid) {
        missing.push("how to avoid it");
    }
    if message.level != Level::Note && !missing.is_empty() {
        let finding = Finding::new(
            &RULE,
            message.span,
            format!("this message doesn't say {}", missing.join(" or ")),
        );
        findings.push(finding.help("say the hazard behind the tag, then what happens, then `Avoid:` and how"));
    }
}
