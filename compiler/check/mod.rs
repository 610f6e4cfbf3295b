//! Model in; findings out. Facts are worked out once and rules only read them.

pub mod rules;
pub mod tightening;
mod torque_spec;

use crate::finding::Finding;
use crate::model::{Model, Set};

/// Runs every rule over every set.
pub fn check(model: &Model) -> Vec<Finding> {
    let mut findings = Vec::new();
    for set in &model.sets {
        rules::unused_id::check(set, &mut findings);
        torques_and_tools(set, &mut findings);
    }
    findings
}

fn torques_and_tools(set: &Set, findings: &mut Vec<Finding>) {
    let facts = tightening::facts(set);
    for rule in [
        rules::torque_above_proof::check,
        rules::torque_barely_clamps::check,
        rules::torque_unit_slip::check,
        rules::thread_strips::check,
        rules::dry_figure_lubricated::check,
        rules::lubrication_not_said::check,
        rules::yielded_bolt_kept::check,
        rules::no_tool_reaches::check,
        rules::low_on_the_scale::check,
        rules::scale_too_coarse::check,
        rules::gauge_too_coarse::check,
        rules::gauge_out_of_range::check,
        rules::adapter_not_corrected::check,
    ] {
        rule(set, &facts, findings);
    }
}
