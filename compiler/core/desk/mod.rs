//! What an author's editor asks: what is wrong, what may stand here, what is this, where else is it named, and how is it spelt. Everything
//! is worked out from files in memory; places are byte ranges.

pub mod complete;
pub mod format;
pub mod hover;
pub mod language;
pub mod outline;
pub mod reference;
pub mod rename;
pub mod schema;
pub mod things;
mod place;
mod spot;
