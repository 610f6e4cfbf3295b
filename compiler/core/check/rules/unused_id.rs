//! # An entry nothing points at
//!
//! ## What it means
//! A register of a procedure or set holds an entry that no mark, field or condition names. Entries of a workshop are not meant.
//!
//! ## Why it matters
//! Most often the step that should name it is missing: a torque nobody applies, a lock nobody fits, a limit nobody measures.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Close up
//! torques:
//!   head-bolts: {torque: 24 N·m}
//! ---
//!
//! 1. Tighten the head bolts.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Close up
//! torques:
//!   head-bolts: {torque: 24 N·m}
//! ---
//!
//! 1. Tighten the [torque head-bolts].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::model::registers::Register;
use crate::model::{Home, Set, is_id};

pub static RULE: Rule = Rule {
    code: "BL103",
    name: "unused-id",
    severity: Severity::Warning,
    page: include_str!("unused_id.rs"),
};

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    for (entity, home, id, span) in set.catalogue.entries() {
        // An id that can't be one has had its finding, and no mark could name it.
        if !set.used.contains(&entity) && !matches!(home, Home::Workshop(_)) && is_id(id) {
            let register = entity.register;
            let (told, help) = if register == Register::Pictures {
                (
                    format!("no text shows the file of `{id}` of `{register}`"),
                    "show it in the step that needs it, `![caption](file)`, or delete it",
                )
            } else {
                (
                    format!("nothing points at `{id}` of `{register}`"),
                    "name it in the step that needs it, or delete it",
                )
            };
            findings.push(Finding::new(&RULE, span, told).help(help));
        }
    }
}
