//! # The torque breaks the bolt or hardly clamps, and another unit would not
//!
//! ## What it means
//! The torque is above the proof load of that thread and class, or below a fifth of it, while the same figure in another common unit would
//! be a usual share: a quarter of the proof load to all of it.
//!
//! ## Why it matters
//! 88 lbf·in written as 88 lbf·ft is twelve times too much: the bolt shears, or the thread it sits in is torn out. The other way round it
//! holds nothing. What this can't know: N·m and lbf·ft are so near to each other (1.36), and lbf·in and kgf·cm (1.15), that both are
//! often believable; then `unit-in-doubt` may say so. Without a property class nothing is judged. The table of every slip lies in
//! `unit-slips.md` beside this rule.
//!
//! The figure is yours: if it is right, say what you compared it with in `confirmed:` and this stays silent. The preload is an estimate by the usual friction, whose scatter is a quarter either way and more.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cover: {fastener: M6 8.8, torque: 88 lbf·ft, lubrication: dry}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
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
        let explained = super::dry_figure_lubricated::explains(estimate);
        let share = estimate.assessment.share_of_proof().filter(|_| !explained);
        let Some(share) = share.filter(|_| !estimate.slips.is_empty()) else {
            continue;
        };
        // The likeliest two: more is guessing.
        let likelier: Vec<String> = estimate
            .slips
            .iter()
            .take(2)
            .map(|slip| format!("{} would be {}", slip.torque, percent(slip.share_of_proof)))
            .collect();
        let message = format!("{}; {}", spec.comes_to(estimate, share), likelier.join(", "));
        let meant = match estimate.slips.as_slice() {
            [slip] => format!("if {} is meant, write that", slip.torque),
            _ => "write the unit that is meant".to_string(),
        };
        findings.push(spec.finding(&RULE, estimate, message).help(format!(
            "{meant}; if the figure is right as it stands, say so in `confirmed:`"
        )));
    }
}
