//! The commands: one file each.

pub mod build;
pub mod calc;
pub mod check;
pub mod checking;
pub mod class;
pub mod convert;
pub mod diff;
pub mod dump;
pub mod explain;
pub mod fit;
pub mod fmt;
pub mod kit;
pub mod log;
pub mod manual;
mod mend;
pub mod new;
pub mod paper;
mod pages;
pub mod plan;
mod sets;
pub mod reckon;
pub mod reissue;
pub mod schema;
pub mod stale;
pub mod thread;
pub mod torque;
