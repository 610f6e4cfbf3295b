//! Model, facts and choices in; work cards as plain data out. Knows nothing of the typesetter.

pub mod text;
mod between;
pub mod card;
pub mod rules;
mod second;
mod prose;
mod patterns;
mod pocket;
mod cover;
mod torque;
mod specs;
mod standing;
mod build;

pub use build::{Deck, STANDING_NOTICE, card, chosen};
