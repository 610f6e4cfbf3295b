//! # A bolt tightened past yield and used again
//!
//! ## What it means
//! The angle stages may take the bolt past its yield point by the stiffer of two estimates, and the spec doesn't say that it is new each time.
//!
//! ## Why it matters
//! A bolt that has yielded is longer and thinner; tightened again it may neck or break. The estimate takes the clamped length from `grip:`, or five diameters where that isn't given.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head: {fastener: M8 8.8, stages: [20 N·m, +90°, +90°], lubrication: oiled}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head: {fastener: M8 8.8, stages: [20 N·m, +90°, +90°], lubrication: oiled, reuse: no}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::check::torque_spec::estimates;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;
use crate::model::registers::Reuse;

pub static RULE: Rule = Rule {
    code: "BL307",
    name: "yielded-bolt-kept",
    severity: Severity::Warning,
    page: include_str!("yielded_bolt_kept.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (spec, estimate) in estimates(set, facts) {
        if estimate.turn.is_some_and(|t| t.may_yield == Some(true)) && spec.torque.reuse != Reuse::No {
            let message = format!("these stages may take {} past its yield point", spec.fastener());
            let last = spec.torque.stages.len().saturating_sub(1);
            findings.push(
                Finding::new(&RULE, spec.stage(last), message)
                    .help("add `reuse: no` if they are new each time; if they may be used again, say by what source in `confirmed:`"),
            );
        }
    }
}
