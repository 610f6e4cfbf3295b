//! What must come off to reach parts of a machine, in an order that works; what else lies open then; and what some choices never reach.
//!
//! ```text
//! registers ─▶ machine (acts, what each asks and brings about) ─▶ search (the least way) ─▶ answer (times, tools, what has to be new) ─▶ text
//! ```
//!
//! [`reach()`] answers for parts, [`scope()`] for a choice; [`text()`] and [`scope_text()`] write the answers for a terminal.

pub mod data;
pub mod leaf;
pub(crate) mod rules;
mod answer;
mod check;
mod machine;
mod open;
mod price;
mod problem;
mod scope;
mod search;
mod skeleton;
mod steps;
mod tell;
mod text;
mod words;

pub use answer::{NotAPart, reach};
pub use check::check;
pub use scope::scope;
pub use skeleton::{NoSkeleton, Skeleton, skeleton};
pub use text::{scope_text, text};
