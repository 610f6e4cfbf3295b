//! Fuzzing without a fuzzer: what is asked of a text made up by a machine, how such texts are made, and what they are made from.
//!
//! ```text
//! fixtures, demo sets ─▶ seeds ─▶ change (again and again) ─▶ target ─▶ faults
//! ```
//!
//! `tests/fuzz/` has a fuzzer choose the changes by what they reach; the core's suite makes the same ones by a fixed seed, so that what
//! the fuzzer is run on can't rot.

pub mod change;
mod chance;
pub mod pool;
pub mod seeds;
pub mod targets;
mod values;

pub use chance::Chance;
pub use targets::Target;
