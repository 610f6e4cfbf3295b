//! Findings in; text out. One file a format.

pub mod human;
pub mod json;
