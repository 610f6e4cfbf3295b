//! # A kind of tool that says nothing
//!
//! ## What it means
//! The kind of a tool is none that benchleaf knows, and not nearly one (`kind-misspelt` tells those).
//!
//! ## Why it matters
//! What a tool gives or reads, and the hazards that it brings, follow from its kind: of this one nothing is checked. A tool that none of
//! the kinds fits is of the kind `other`, or of none; a hazard of its own is said with `hazard:`.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   legs: {name: Two-legged puller, kind: tractor}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   legs: {name: Two-legged puller, kind: puller}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::check::tool_kinds::{is_known, known, named_in, slip_of};
use crate::finding::{Finding, Rule, Severity, quoted};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL614",
    name: "unknown-kind",
    severity: Severity::Warning,
    page: include_str!("unknown_kind.rs"),
};

pub fn check(set: &Set, _: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (_, def) in set.catalogue.tools.iter() {
        let Some(kind) = &def.value.kind else { continue };
        if is_known(&kind.text) || slip_of(&kind.text).is_some() {
            continue;
        }
        let message = format!(
            "benchleaf knows no kind of tool `{}`, so nothing follows from it",
            kind.text
        );
        let finding = Finding::new(&RULE, kind.span, message);
        findings.push(match named_in(&kind.text) {
            Some(near) => finding.guess(kind.span, near, format!("did you mean `{near}`? Write `other` if not")),
            None => finding.help(format!(
                "take one of {}; `other` if none fits",
                quoted(&known().collect::<Vec<_>>())
            )),
        });
    }
}
