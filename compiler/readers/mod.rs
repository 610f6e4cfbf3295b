//! Other readers of what the compiler knows: answers that are neither findings nor cards.

pub mod bench;
pub mod leaves;
pub mod diff;
pub mod kit;
pub mod log;
pub mod plan;
pub mod rules;

mod columns;
pub(crate) use columns::columns;
