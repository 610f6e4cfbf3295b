//! # A dry figure on lubricated threads
//!
//! ## What it means
//! With the stated lubrication the torque is above the proof load of that thread and class; on dry threads it would not be.
//!
//! ## Why it matters
//! Oil halves what a torque loses to friction, so a figure for dry threads overstretches oiled ones. One of the two statements belongs to another source.
//!
//! The figure is yours: if it is right, say what you compared it with in `confirmed:` and this stays silent. The preload is an estimate by the usual friction, whose scatter is a quarter either way and more.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head: {fastener: M8 8.8, torque: 31 N·m, lubrication: moly}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head: {fastener: M8 8.8, torque: 31 N·m, lubrication: dry}
//! ```

use crate::check::tightening::{Estimate, TorqueFacts};
use crate::check::torque_spec::{estimates, percent};
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL305",
    name: "dry-figure-lubricated",
    severity: Severity::Warning,
    page: include_str!("dry_figure_lubricated.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (spec, estimate) in estimates(set, facts).filter(|(_, e)| explains(e)) {
        let dry = estimate.dry.and_then(|d| d.share_of_proof());
        let (Some(share), Some(dry)) = (estimate.assessment.share_of_proof(), dry) else {
            continue;
        };
        // Another unit may explain it as well as oil does: both are told.
        let unit = estimate.slips.first().map_or_else(String::new, |slip| {
            format!(", and {} would be {}", slip.torque, percent(slip.share_of_proof))
        });
        let message = format!(
            "{}; dry it would be {}{unit}",
            spec.comes_to(estimate, share),
            percent(dry)
        );
        let finding = Finding::new(&RULE, spec.stage(estimate.stage), message);
        let finding = spec
            .lubrication_span()
            .into_iter()
            .fold(finding, |f, span| f.also(span, "lubricated so"));
        findings.push(
            finding
                .help("find the figure for these threads, or fit them dry; if both are right, say so in `confirmed:`"),
        );
    }
}

/// True if lubrication, and nothing else, puts the torque above the proof load.
pub fn explains(estimate: &Estimate) -> bool {
    estimate.assessment.is_above_proof() && estimate.dry.is_some_and(|dry| !dry.is_above_proof())
}
