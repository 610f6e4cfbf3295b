//! Faults of names: one file a rule.

pub mod duplicate_id;
pub mod duplicate_procedure;
pub mod missing_picture;
pub mod order_cycle;
pub mod procedure_without_set;
pub mod shadowed_id;
pub mod unknown_id;
pub mod unknown_label;
pub mod unknown_procedure;
pub mod unknown_value;
pub mod unprintable_picture;
pub mod wrong_register;
