//! Calculations over readings: `max(bore) - skirt`, `nearest(fitted + measured - 0.25 mm, 2.00..3.20 mm step 0.05 mm)`.
//!
//! - [`Node`]: an expression as written, with the byte range of every part. Names are ids and may hold hyphens, so an operator has a
//!   space on both sides.
//! - [`Shape`]: dimension and number of readings of a value, known before anything is measured; [`shape_of`] finds the faults.
//! - [`Value`]: readings with their unit; [`work_out`] computes, exactly in decimal.
//! - [`share`]: which readings of one measurement belong to a place of another.

mod error;
mod heat;
mod parse;
mod places;
mod shape;
mod sizes;
mod value;
mod work;

pub use error::{CalcError, CalcErrorKind, DEEPEST, MOST_TERMS};
pub use heat::temperature_for;
pub use parse::{Function, Node, NodeKind, Operator, parse};
pub use places::{Grid, Share, share};
pub use shape::{Powers, Shape, shape_of};
pub use sizes::{Parity, Pick, Sizes};
pub use value::{Scale, Value};
pub use work::{Stuck, work_out};

#[cfg(test)]
mod tests;
