//! Model in; findings out. Facts are worked out once and rules only read them.

mod facts;
mod hazards;
pub mod ledger;
pub mod rules;
pub mod tightening;
mod torque_spec;

use crate::finding::Finding;
use crate::model::{Model, Set};
use facts::Facts;

/// Runs every rule over every set. `is_whole` says whether a set was read and bound without an error: where an act or entry is missing, what
/// the walk over the steps would say of the rest is mostly wrong, so it is left out until the error is mended.
pub fn check(model: &Model, is_whole: impl Fn(&Set) -> bool) -> Vec<Finding> {
    let mut findings = Vec::new();
    for set in &model.sets {
        rules::unused_id::check(set, &mut findings);
        torques_and_tools(set, &mut findings);
        if is_whole(set) {
            ledger_and_safety(set, &mut findings);
        }
    }
    findings
}

fn ledger_and_safety(set: &Set, findings: &mut Vec<Finding>) {
    let facts = Facts::new(set);
    for rule in [
        rules::fitted_twice::check,
        rules::place_taken::check,
        rules::removed_when_off::check,
        rules::temporary_left_on::check,
        rules::part_left_off::check,
        rules::single_use_refitted::check,
        rules::fastener_left_loose::check,
        rules::snugged_twice::check,
        rules::fastener_reused::check,
        rules::action_in_wrong_state::check,
        rules::action_with_item_fitted::check,
        rules::need_not_met::check,
        rules::wrong_finish::check,
        rules::timer_started_twice::check,
        rules::timer_not_started::check,
        rules::timer_never_ended::check,
        rules::window_overrun::check,
        rules::hold_in_window::check,
        rules::break_in_window::check,
        rules::cure_not_timed::check,
        rules::open_time_not_timed::check,
        rules::option_without_default::check,
        rules::unreachable_step::check,
        rules::idle_value::check,
        rules::order_matters::check,
        rules::too_many_combinations::check,
        rules::unguarded_consumable::check,
        rules::unguarded_hazard::check,
        rules::incomplete_message::check,
    ] {
        rule(&facts, findings);
    }
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
