//! Quantities: a figure and a unit, as an author writes them and as the arithmetic needs them.
//!
//! - [`Dimension`] and [`Unit`]: what is measured and in what; units are rows of `compiler/tables/units.csv` with exact factors.
//! - [`Figure`]: a number as written, its decimal value and how many of its digits count.
//! - [`Measure`]: figure and unit, the dimension known only at run time.
//! - [`Written`]: the same with its dimension in the type and the SI value as a `uom` quantity.
//! - [`Rounding`]: half to even, or toward one side for limits.
//! - [`ValueError`]: what is wrong with a text, where, and how to put it right.

mod dimension;
mod error;
mod figure;
mod kind;
mod measure;
mod rounding;
mod scan;
mod unit;

pub use dimension::Dimension;
pub use error::{ValueError, ValueErrorKind, comma_read, power_read, quoted};
pub use figure::Figure;
pub use kind::Kind;
pub use measure::{Measure, Written};
pub use rounding::{Rounding, round_to_digits, round_to_place, round_to_places};
pub use unit::Unit;

pub(crate) use rounding::leading_place;
pub use scan::Scan;

#[cfg(test)]
pub(crate) mod tests;
