//! Text in; syntax trees with spans out. Knows nothing of what ids mean.

pub mod rules;
pub mod yaml;
