//! The commands: one file each.

pub mod build;
pub mod check;
pub mod convert;
pub mod diff;
pub mod explain;
pub mod fmt;
pub mod kit;
pub mod log;
mod mend;
pub mod new;
pub mod paper;
pub mod plan;
mod sets;
pub mod reissue;
pub mod schema;
pub mod stale;
pub mod torque;
