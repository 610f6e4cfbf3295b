//! Rules about what the registers say of the machine: what can't come apart, and what holds nothing.

pub mod no_way_off;
pub mod secures_nothing;
pub mod stuck_in_a_circle;
