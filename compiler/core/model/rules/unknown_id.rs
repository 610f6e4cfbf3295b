//! # Unknown id
//!
//! ## What it means
//! A mark or field names an entry that no register in reach holds.
//!
//! ## Why it matters
//! What it stands for (a figure, a part, a lock) would be missing from the card.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Close up
//! torques: {head-bolts: {torque: 24 N·m, lubrication: dry}}
//! ---
//!
//! 1. Tighten the [torque head-bolt].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Close up
//! torques: {head-bolts: {torque: 24 N·m, lubrication: dry}}
//! ---
//!
//! 1. Tighten the [torque head-bolts].
//! ```

use crate::finding::listed;
use crate::finding::{Finding, Rule, Severity, did_you_mean};
use crate::syntax::Name;
use crate::syntax::registers::Register;

pub static RULE: Rule = Rule {
    code: "BL101",
    name: "unknown-id",
    severity: Severity::Error,
    page: include_str!("unknown_id.rs"),
};

/// The same of `[wait …]`: what many mean by it is no cure.
pub fn waited_for(finding: &mut Finding) {
    if let Some(fix) = finding.fix.as_mut().filter(|fix| fix.replace.is_none()) {
        fix.text += " with `cure:`; a wait for something else is a timer with `at-least:`, `[start ID]` … `[end ID]`";
    }
}

/// `registers` are those it could be in, `candidates` the ids they hold.
pub fn finding(name: &Name, registers: &[Register], candidates: &[&str]) -> Finding {
    let places: Vec<&str> = registers.iter().map(|r| r.field()).collect();
    let places = listed(&places, "or");
    let finding = Finding::new(&RULE, name.span, format!("`{}` is not in {places}", name.text));
    match did_you_mean(&name.text, candidates.iter().copied()) {
        Some(near) => finding.guess(name.span, near, format!("did you mean `{near}`?")),
        None => finding.help(format!(
            "add it to {places} in this file, in `set.yaml` or in `workshop.yaml`"
        )),
    }
}
