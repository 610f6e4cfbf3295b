//! The commands: one file each.

#[cfg(feature = "typeset")]
pub mod build;
pub mod check;
pub mod explain;
pub mod new;
