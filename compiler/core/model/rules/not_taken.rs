//! # A joint that doesn't take it
//!
//! ## What it means
//! A consumable is used on a joint whose `takes` doesn't name it.
//!
//! ## Why it matters
//! The wrong tube is in the step, or the register forgot it: nothing that the joint needs is in it.
//!
//! ## Example
//! ```yaml
//! consumables: {locker: {name: thread sealer}, sealant: {name: face sealant}}
//! joints: {face: {takes: [sealant], closed-by: screws}}
//!
//! 1. Draw a bead of [use locker 3 mL on face].
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Draw a bead of [use sealant 3 mL on face].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL119",
    name: "not-taken",
    severity: Severity::Error,
    page: include_str!("not_taken.rs"),
};

/// `onto` names the joint in the mark, `joint` is its id in the register.
pub fn finding(onto: &Name, used: &str, joint: &Name) -> Finding {
    Finding::new(&RULE, onto.span, format!("`{}` doesn't take `{used}`", joint.text))
        .also(joint.span, "what it takes stands here")
        .help(format!("use what it takes, or add `{used}` to its `takes`"))
}
