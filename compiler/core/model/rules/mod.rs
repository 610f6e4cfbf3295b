//! Faults of names: one file a rule.

pub mod circle_of_parts;
pub mod count_against_part;
pub mod count_of_all;
pub mod duplicate_id;
pub mod duplicate_procedure;
pub mod misused_field;
pub mod misused_mark;
pub mod missing_picture;
pub mod missing_procedure;
pub mod not_taken;
pub mod order_cycle;
pub mod procedure_without_set;
pub mod shadowed_id;
pub mod small_in_picture;
pub mod unknown_id;
pub mod unknown_label;
pub mod unknown_procedure;
pub mod unknown_value;
pub mod unprintable_picture;
pub mod wrong_register;
