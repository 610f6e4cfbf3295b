//! Rules that need two states to tell.

pub mod revision_not_raised;
