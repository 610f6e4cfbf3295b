//! What to order, lay out and pour for a job: parts, consumables, tools and gauges of a whole set for one combination of choices,
//! with the steps that need each, and what these choices don't need.
//!
//! [`kit()`] gathers, [`compare()`] puts two choices side by side; [`table()`] and [`csv()`] write a kit as text and as CSV.

// A new mark, verb or dimension must be answered wherever one is told from another.
#![deny(clippy::wildcard_enum_match_arm)]

pub mod data;
pub mod leaf;
mod bill;
mod compare;
mod gather;
mod price;
mod spreadsheet;
mod table;

pub use compare::compare;
pub use gather::{chosen, kit};
pub use spreadsheet::{comparison_csv, csv};
pub use table::{comparison_table, table};

pub use data::{Comparison, Difference, Kit, Line, Spare, StepRef};
pub use price::{Price, total};
