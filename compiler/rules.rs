//! The one list of rules, by code. A rule lives in the `rules/` folder of the phase that can complain of it.

use crate::cards::rules::missing_glyph;
use crate::check::rules::{
    adapter_not_corrected, dry_figure_lubricated, gauge_out_of_range, gauge_too_coarse, low_on_the_scale,
    lubrication_not_said, no_tool_reaches, scale_too_coarse, thread_strips, torque_above_proof, torque_barely_clamps,
    torque_unit_slip, unused_id, yielded_bolt_kept,
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
    &no_tool_reaches::RULE,
    &low_on_the_scale::RULE,
    &scale_too_coarse::RULE,
    &gauge_too_coarse::RULE,
    &gauge_out_of_range::RULE,
    &adapter_not_corrected::RULE,
    &missing_glyph::RULE,
];

/// The rule of a code or name, whatever its case.
pub fn find(code: &str) -> Option<&'static Rule> {
    RULES
        .iter()
        .copied()
        .find(|r| r.code.eq_ignore_ascii_case(code) || r.name.eq_ignore_ascii_case(code))
}
