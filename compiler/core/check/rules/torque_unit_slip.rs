//! # The torque breaks the bolt, and another unit would not
//!
//! ## What it means
//! The torque is above the proof load of that thread and class, while the same figure in another common unit would be a usual share of it.
//!
//! ## Why it matters
//! 104 lbf·in written as 104 lbf·ft is twelve times too much. The bolt shears, or the thread it sits in is torn out.
//!
//! The figure is yours: if it is right, say what you compared it with in `confirmed:` and this stays silent. The preload is an estimate from nut factors whose scatter is a quarter either way and more.
//!
//! ## Example
//! ```yaml
//! torques:
//!   cover: {fastener: M6 8.8, torque: 88 lbf·ft, lubrication: dry}
//! ```
//!
//! ## Instead
//! ```yaml
//! torques:
//!   cover: {fastener: M6 8.8, torque: 88 lbf·in, lubrication: dry}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::check::torque_spec::{estimates, percent};
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL303",
    name: "torque-unit-slip",
    severity: Severity::Error,
    page: include_str!("torque_unit_slip.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (spec, estimate) in estimates(set, facts) {
        let above = estimate.assessment.is_above_proof() && !super::dry_figure_lubricated::explains(estimate);
        let share = estimate.assessment.share_of_proof().filter(|_| above);
        let (Some(share), Some(slip)) = (share, estimate.slips.first()) else {
            continue;
        };
        let likelier = format!("{} would be {}", slip.torque, percent(slip.share_of_proof));
        let message = format!("{}; {likelier}", spec.comes_to(estimate, share));
        findings.push(spec.finding(&RULE, estimate, message).help(format!(
            "if {} is meant, write that; if the figure is right as it stands, say so in `confirmed:`",
            slip.torque
        )));
    }
}
