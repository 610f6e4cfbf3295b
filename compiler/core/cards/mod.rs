//! Model, facts and choices in; work cards as plain data out. Knows nothing of the typesetter.

// A new mark, verb or dimension must be answered wherever one is told from another.
#![deny(clippy::wildcard_enum_match_arm)]

pub mod text;
pub mod beside;
mod between;
mod counted;
mod drawn;
mod step_at;
pub mod card;
pub mod rules;
pub mod sheets;
mod figures;
mod form;
mod further;
pub mod members;
pub mod source;
mod second;
mod looks;
mod needed;
mod said;
pub mod setting;
mod undone;
pub mod value;
mod prose;
mod patterns;
mod pointed;
mod pocket;
mod set_sheet;
mod cover;
pub(crate) mod torque;
mod working;
mod written;
mod identity;
mod spec;
mod specs;
pub(crate) mod standing;
mod build;
mod deck;

pub use deck::{Deck, Made, card};
pub(crate) use figures::{interval_of, limit as limit_said, sum as sum_said, worked_out as limit_worked_out};
pub use form::of_one as form_of;
pub use identity::{chosen, heads};
pub use pocket::of_card as pocket_of;
pub use second::unit as second_unit;
pub(crate) use standing::rule;
