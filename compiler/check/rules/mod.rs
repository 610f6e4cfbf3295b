//! Rules over the whole model: one file a rule.

pub mod adapter_not_corrected;
pub mod dry_figure_lubricated;
pub mod gauge_out_of_range;
pub mod gauge_too_coarse;
pub mod low_on_the_scale;
pub mod lubrication_not_said;
pub mod no_tool_reaches;
pub mod scale_too_coarse;
pub mod thread_strips;
pub mod torque_above_proof;
pub mod torque_barely_clamps;
pub mod torque_unit_slip;
pub mod unused_id;
pub mod yielded_bolt_kept;
