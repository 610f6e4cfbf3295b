//! As much of the program's suite as asks things of its edge.

#[path = "../program/fuzzed/mod.rs"]
pub mod fuzzed;
#[path = "../program/pack.rs"]
pub mod pack;
