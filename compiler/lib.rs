//! benchleaf: compiles workshop procedures into checked, printable work cards.
//!
//! ```text
//! files ─▶ source ─▶ parse ─▶ model ─▶ check ─▶ cards ─▶ typeset ─▶ PDF / SVG / PNG
//!                      │        │        │        │
//!                      └────────┴────────┴────────┴─▶ findings (data) ─▶ report: terminal, JSON
//! ```
//!
//! The modules below stand in that order; each may use those above it and `domain`, never those below. Only `edge` touches disk,
//! clock, terminal or environment.

pub mod source;
pub mod finding;
pub mod domain;
pub mod parse;
pub mod cards;
#[cfg(feature = "typeset")]
pub mod typeset;
