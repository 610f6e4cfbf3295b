//! The commands: one file each.

pub mod build;
pub mod calc;
pub mod check;
mod checking;
pub mod class;
pub mod convert;
pub mod diff;
pub mod dump;
pub mod explain;
pub mod fit;
pub mod kit;
pub mod log;
mod mend;
pub mod new;
mod pages;
pub mod plan;
mod sets;
pub mod reckon;
pub mod reissue;
pub mod stale;
pub mod thread;
pub mod torque;
