//! Model, facts and choices in; work cards as plain data out. Knows nothing of the typesetter.

pub mod text;
pub mod beside;
mod between;
pub mod card;
pub mod rules;
pub mod sheets;
mod second;
pub mod setting;
mod prose;
mod patterns;
mod pocket;
mod cover;
mod torque;
mod working;
mod written;
mod identity;
mod specs;
mod standing;
mod build;
mod deck;

pub use crate::check::tightening::tools as torque_tools;
pub use deck::{Deck, card};
pub use identity::{STANDING_NOTICE, chosen};
pub use second::unit as second_unit;
