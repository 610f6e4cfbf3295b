//! # The figure would be as usual in another unit
//!
//! ## What it means
//! The torque is believable and less than tables aim at for that thread, class and lubrication: 75 % of the proof load for joints that are
//! taken apart, 90 % for others (Shigley 9th ed., equation 8-31) and 90 % of yield (VDI 2230), a tenth less for their rounding. The
//! same figure in another unit would be just that.
//!
//! ## Why it matters
//! A figure in lbf·ft copied as N·m clamps a quarter less than was asked, and nothing but the source can tell: many torques are meant to be
//! low, for gaskets, soft metal and covers. So this is advice and no more.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cap: {fastener: M10 8.8, torque: 40 N·m, lubrication: dry}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   cap: {fastener: M10 8.8, torque: 40 N·m, lubrication: dry, confirmed: data sheet of the gasket}
//! ```

use crate::check::tightening::TorqueFacts;
use crate::check::torque_spec::{estimates, percent};
use crate::domain::preload::table_shares;
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;

pub static RULE: Rule = Rule {
    code: "BL312",
    name: "unit-in-doubt",
    severity: Severity::Advice,
    page: include_str!("unit_in_doubt.rs"),
};

pub fn check(set: &Set, facts: &TorqueFacts, findings: &mut Vec<Finding>) {
    for (spec, estimate) in estimates(set, facts) {
        let (Some(share), Some(doubt)) = (estimate.assessment.share_of_proof(), &estimate.doubt) else {
            continue;
        };
        let (low, high) = table_shares();
        let message = format!(
            "{}, which is little: tables aim at {} to {}, and {} would be {}",
            spec.comes_to(estimate, share),
            percent(low),
            percent(high),
            doubt.torque,
            percent(doubt.share_of_proof)
        );
        let help = format!(
            "look up which unit is meant, {} or {}; if the figure is right, say in `confirmed:` where it is from (proof load: the most that a \
             bolt bears without being stretched for good)",
            estimate.torque, doubt.torque
        );
        findings.push(spec.finding(&RULE, estimate, message).help(help));
    }
}
