//! The one list of rules, by code. A rule lives in the `rules/` folder of the phase that can complain of it.

use crate::cards::rules::missing_glyph;
use crate::check::rules::{
    action_in_wrong_state, action_with_item_fitted, adapter_not_corrected, break_in_window, cure_not_timed,
    dry_figure_lubricated, fastener_left_loose, fastener_reused, fitted_twice, gauge_out_of_range, gauge_too_coarse,
    hold_in_window, idle_value, incomplete_message, low_on_the_scale, lubrication_not_said, need_not_met,
    no_tool_reaches, open_time_not_timed, option_without_default, order_matters, part_left_off, place_taken,
    removed_when_off, scale_too_coarse, single_use_refitted, snugged_twice, temporary_left_on, thread_strips,
    timer_never_ended, timer_not_started, timer_started_twice, too_many_combinations, torque_above_proof,
    torque_barely_clamps, torque_unit_slip, unguarded_consumable, unguarded_hazard, unreachable_step, unused_id,
    window_overrun, wrong_finish, yielded_bolt_kept,
};
use crate::finding::Rule;
use crate::model::rules::{
    duplicate_id, duplicate_procedure, missing_picture, order_cycle, procedure_without_set, shadowed_id, unknown_id,
    unknown_label, unknown_procedure, unknown_value, wrong_register,
};
use crate::parse::rules::{
    bad_date, bad_id, bad_mark_arguments, bad_value, bad_word, bad_yaml, empty_range, impossible_pattern,
    mark_taken_as_link, message_guards_nothing, misplaced_mark, missing_field, missing_unit, nested_too_deep, no_steps,
    not_text, open_front_matter, raw_html, repeated_field, unknown_field, unknown_mark, unknown_message_tag,
    unknown_unit, unknown_unit_name, wrong_dimension, wrong_kind,
};
use crate::readers::rules::revision_not_raised;

/// Every rule, in order of code.
pub static RULES: &[&Rule] = &[
    &bad_yaml::RULE,
    &not_text::RULE,
    &open_front_matter::RULE,
    &unknown_field::RULE,
    &repeated_field::RULE,
    &wrong_kind::RULE,
    &missing_field::RULE,
    &bad_word::RULE,
    &bad_date::RULE,
    &bad_id::RULE,
    &unknown_mark::RULE,
    &bad_mark_arguments::RULE,
    &misplaced_mark::RULE,
    &mark_taken_as_link::RULE,
    &unknown_message_tag::RULE,
    &message_guards_nothing::RULE,
    &nested_too_deep::RULE,
    &raw_html::RULE,
    &no_steps::RULE,
    &unknown_id::RULE,
    &duplicate_id::RULE,
    &unused_id::RULE,
    &shadowed_id::RULE,
    &unknown_procedure::RULE,
    &unknown_label::RULE,
    &order_cycle::RULE,
    &unknown_value::RULE,
    &wrong_register::RULE,
    &duplicate_procedure::RULE,
    &procedure_without_set::RULE,
    &missing_picture::RULE,
    &missing_unit::RULE,
    &unknown_unit::RULE,
    &wrong_dimension::RULE,
    &bad_value::RULE,
    &empty_range::RULE,
    &unknown_unit_name::RULE,
    &impossible_pattern::RULE,
    &torque_above_proof::RULE,
    &torque_barely_clamps::RULE,
    &torque_unit_slip::RULE,
    &thread_strips::RULE,
    &dry_figure_lubricated::RULE,
    &lubrication_not_said::RULE,
    &yielded_bolt_kept::RULE,
    &fitted_twice::RULE,
    &place_taken::RULE,
    &removed_when_off::RULE,
    &temporary_left_on::RULE,
    &part_left_off::RULE,
    &single_use_refitted::RULE,
    &fastener_left_loose::RULE,
    &snugged_twice::RULE,
    &fastener_reused::RULE,
    &action_in_wrong_state::RULE,
    &action_with_item_fitted::RULE,
    &need_not_met::RULE,
    &wrong_finish::RULE,
    &timer_started_twice::RULE,
    &timer_not_started::RULE,
    &timer_never_ended::RULE,
    &window_overrun::RULE,
    &hold_in_window::RULE,
    &break_in_window::RULE,
    &cure_not_timed::RULE,
    &open_time_not_timed::RULE,
    &option_without_default::RULE,
    &unreachable_step::RULE,
    &idle_value::RULE,
    &order_matters::RULE,
    &too_many_combinations::RULE,
    &unguarded_consumable::RULE,
    &unguarded_hazard::RULE,
    &incomplete_message::RULE,
    &no_tool_reaches::RULE,
    &low_on_the_scale::RULE,
    &scale_too_coarse::RULE,
    &gauge_too_coarse::RULE,
    &gauge_out_of_range::RULE,
    &adapter_not_corrected::RULE,
    &missing_glyph::RULE,
    &revision_not_raised::RULE,
];

/// The rule of a code or name, whatever its case.
pub fn find(code: &str) -> Option<&'static Rule> {
    RULES
        .iter()
        .copied()
        .find(|r| r.code.eq_ignore_ascii_case(code) || r.name.eq_ignore_ascii_case(code))
}
