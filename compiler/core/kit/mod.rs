//! What to order, lay out and pour for a job: parts, consumables, tools and gauges of a whole set for one combination of choices,
//! with the steps that need each, and what these choices don't need.
//!
//! [`kit()`] gathers, [`compare()`] puts two choices side by side; [`table()`] and [`csv()`] write a kit as text and as CSV.

mod amounts;
mod bill;
mod compare;
mod gather;
mod price;
mod sheet;
mod table;

pub use compare::compare;
pub use gather::kit;
pub use sheet::{comparison_csv, csv};
pub use table::{comparison_table, table};

pub use crate::kit::data::{Comparison, Difference, Kit, Line, Spare, StepRef};
