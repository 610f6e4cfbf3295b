//! The job record: what was measured, tightened, timed, signed and put off on one card.
//!
//! ```text
//! procedure, choices ─▶ form (every box there is) ─▶ YAML to fill in
//! YAML filled in ─▶ filled ─▶ judge (with the form) ─▶ report
//! ```
//!
//! A record names the fingerprint of the card it was filled in against. The caller passes the one of today in: this
//! module reads and compares codes and knows nothing of how they are made. A filled-in record is only ever read.

// A new mark, verb or dimension must be answered wherever one is told from another.
#![deny(clippy::wildcard_enum_match_arm)]

mod calibration;
mod coarse;
pub mod data;
mod begun;
pub mod fields;
mod form;
pub mod leaf;
mod judge;
mod overload;
mod read;
mod readings;
mod report;
mod stray;
mod text;
mod timed;
mod unreadable;
mod times;
mod worked;
mod write;

/// The form of records that is written and read: `log:` on their first line.
pub const FORM: u32 = 1;

pub use form::{Form, form};
pub use read::{Filled, carry, read, same_serial};
pub use report::judge;
pub use text::text;
pub use write::write;

pub use data::{Deferral, FindingKind, LogFinding, Reading, Report, Serial, Signed, Tightened, Timed, Verdict};
