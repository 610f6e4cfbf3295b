//! As much of the press's suite as prints what a machine made up.

#[path = "../printer/fuzzed.rs"]
pub mod fuzzed;
