//! Other readers of what the compiler knows: answers that are neither findings nor cards.

pub mod answers;
pub mod bench;
pub mod meaning;
pub mod fingerprint;
pub mod diff;
pub mod kit;
pub mod log;
pub mod plan;
pub mod reckon;
pub mod rules;

mod columns;
pub(crate) use columns::columns;
