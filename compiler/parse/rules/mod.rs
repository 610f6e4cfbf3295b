//! Faults of the written form: one file a rule.

pub mod bad_date;
pub mod bad_id;
pub mod bad_mark_arguments;
pub mod bad_value;
pub mod bad_word;
pub mod bad_yaml;
pub mod empty_range;
pub mod impossible_pattern;
pub mod mark_taken_as_link;
pub mod message_guards_nothing;
pub mod misplaced_mark;
pub mod missing_field;
pub mod missing_unit;
pub mod nested_too_deep;
pub mod no_steps;
pub mod not_text;
pub mod open_front_matter;
pub mod raw_html;
pub mod repeated_field;
pub mod unknown_field;
pub mod unknown_mark;
pub mod unknown_message_tag;
pub mod unknown_unit;
pub mod unknown_unit_name;
pub mod wrong_dimension;
pub mod wrong_kind;
