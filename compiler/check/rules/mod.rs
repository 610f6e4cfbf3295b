//! Rules over the whole model: one file a rule.

pub mod unused_id;
