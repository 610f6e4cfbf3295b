//! Other readers of what the compiler knows: answers that are neither findings nor cards.

pub mod bench;
pub mod diff;
pub mod fingerprint;
pub mod meaning;
pub mod rules;
