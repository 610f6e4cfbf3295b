//! # The id is in another register
//!
//! ## What it means
//! The entry exists, but not in a register that this mark or field can point into.
//!
//! ## Why it matters
//! Fitting a torque or tightening a gasket means nothing; most often the verb is the wrong one.
//!
//! ## Example
//! ```markdown
//! 1. [fit head-bolts]
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Tighten the [torque head-bolts].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::parse::head::registers::Register;
use crate::parse::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL109",
    name: "wrong-register",
    severity: Severity::Error,
    page: include_str!("wrong_register.rs"),
};

/// `found` is where it is, `wanted` where it would have to be.
pub fn finding(name: &Name, found: Register, wanted: &[Register]) -> Finding {
    let wanted: Vec<&str> = wanted.iter().map(|r| r.entry()).collect();
    Finding::new(
        &RULE,
        name.span,
        format!("`{}` is {}, not {}", name.text, found.entry(), wanted.join(" or ")),
    )
    .help(format!(
        "name {}, or use the verb for {}",
        wanted.join(" or "),
        found.entry()
    ))
}
