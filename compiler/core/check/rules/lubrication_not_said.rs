//! # A torque without its lubrication
//!
//! ## What it means
//! The spec names a fastener and a torque, and doesn't say whether the threads are dry, oiled or otherwise treated.
//!
//! ## Why it matters
//! The same torque on oiled threads stretches the bolt by a third more than on dry ones, so whoever stands at the bench has to guess.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover: {fastener: M6 8.8, torque: 10 N·m}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover: {fastener: M6 8.8, torque: 10 N·m, lubrication: dry}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL306",
    name: "lubrication-not-said",
    severity: Severity::Advice,
    page: include_str!("lubrication_not_said.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for handle in facts.torques.keys() {
        let def = set.catalogue.torques.get(*handle);
        let lubrication = &def.value.lubrication;
        // Of what a hand tightens nothing is estimated.
        if lubrication.unread || def.value.is_by_hand() {
            continue;
        }
        if let (Some(fastener), None) = (&def.value.fastener, &lubrication.threads) {
            let message = format!("`{}` doesn't say how its threads are lubricated", def.id.text);
            findings.push(
                Finding::new(&RULE, fastener.word.span, message).help("add `lubrication:`, such as `dry` or `oiled`"),
            );
        }
    }
}
