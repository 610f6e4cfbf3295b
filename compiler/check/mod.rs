//! Model in; facts and findings out. Facts are worked out once: rules only read them, and so do the cards.

pub mod rules;
pub mod tightening;
mod torque_spec;

use crate::finding::Finding;
use crate::model::{Model, Set};
use tightening::TorqueFacts;

/// What is worked out about one set.
#[derive(Debug, Default)]
pub struct Facts {
    pub torques: TorqueFacts,
}

/// Works out the facts of every set, in the model's order, and runs every rule over them.
pub fn check(model: &Model) -> (Vec<Facts>, Vec<Finding>) {
    let mut findings = Vec::new();
    let facts = model.sets.iter().map(|set| check_set(set, &mut findings)).collect();
    (facts, findings)
}

fn check_set(set: &Set, findings: &mut Vec<Finding>) -> Facts {
    let facts = Facts {
        torques: tightening::facts(set),
    };
    rules::unused_id::check(set, findings);
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
        rule(set, &facts.torques, findings);
    }
    facts
}
