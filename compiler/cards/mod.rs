//! Model, facts and choices in; work cards as plain data out. Knows nothing of the typesetter.

pub mod card;
pub mod rules;
mod second;
mod prose;
mod patterns;
mod cover;
mod torque;
mod specs;
mod build;

pub use build::{STANDING_NOTICE, card, chosen};
pub use second::unit as second_unit;
