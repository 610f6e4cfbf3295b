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
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover}
//! consumables:
//!   locker: {name: thread sealer}
//!   sealant: {name: sealant, open: 10 min, cure: 2 h}
//! torques:
//!   screws: {torque: 9 N·m, lubrication: dry}
//! joints:
//!   face: {takes: [sealant], closed-by: screws}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Lift off the [remove cover].
//! 3. Draw a bead of [use locker 8 mL on face].
//! 4. Set on the [fit cover].
//! 5. Tighten the [torque screws].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover}
//! consumables:
//!   sealant: {name: sealant, open: 10 min, cure: 2 h}
//! torques:
//!   screws: {torque: 9 N·m, lubrication: dry}
//! joints:
//!   face: {takes: [sealant], closed-by: screws}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen screws].
//! 2. Lift off the [remove cover].
//! 3. Draw a bead of [use sealant 8 mL on face]. [time 1 min]
//! 4. Set on the [fit cover]. [time 1 min]
//! 5. Tighten the [torque screws]. [time 1 min]
//! 6. Let it set. [wait sealant]
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
