//! # A kind of tool that is most likely misspelt
//!
//! ## What it means
//! The kind of a tool is none that is known, and it is nearly one that is.
//!
//! ## Why it matters
//! Tools of some kinds bring a hazard that needs a message, and a slip in the word silences that.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   chain: {name: Chain hoist, kind: hoits}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! tools:
//!   chain: {name: Chain hoist, kind: hoist}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::check::tool_kinds::slip_of;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL609",
    name: "kind-misspelt",
    severity: Severity::Warning,
    page: include_str!("kind_misspelt.rs"),
};

pub fn check(set: &Set, _: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (_, def) in set.catalogue.tools.iter() {
        let Some(kind) = &def.value.kind else { continue };
        if let Some(near) = slip_of(&kind.text) {
            let message = format!("`{}` is no known kind of tool", kind.text);
            findings.push(Finding::new(&RULE, kind.span, message).guess(
                kind.span,
                near,
                format!("did you mean `{near}`?"),
            ));
        }
    }
}
