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

#![forbid(unsafe_code)]
#![cfg_attr(test, allow(clippy::string_slice, reason = "tests may stop"))]

pub mod budgets;
mod spread;
pub mod words;
pub mod source;
pub mod finding;
pub mod fingerprint;
pub mod syntax;
pub mod parse;
pub mod model;
pub mod check;
pub mod cards;
pub mod bench;
pub mod answers;
pub mod reckon;
pub mod kit;
pub mod plan;
pub mod reach;
pub mod record;
pub mod leaves;
pub mod diff;
pub mod booklet;
pub mod rules;
pub mod dump;
mod levels;
pub mod groups;
pub mod report;
pub mod desk;

mod columns;

use benchleaf_domain as domain;
pub use groups::Compilation;
use source::FileSet;

/// Reads, binds and checks every set among the files. Pure: the same files give the same result. [`groups::Groups`] gives it in parts.
pub fn compile(files: &FileSet) -> Compilation {
    groups::Groups::new(files).whole()
}
