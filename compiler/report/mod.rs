//! Findings and answers in; text out. One file a format.

pub mod bench;
pub mod human;
pub mod json;
