//! Findings in; text out. One file a format.

pub mod github;
pub mod human;
pub mod json;
pub mod sarif;
