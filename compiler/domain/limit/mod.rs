//! Limits on a measurement, tolerances and ranges, as authors write them.
//!
//! - [`Interval`]: `5..25 N·m`, both ends given.
//! - [`Tolerance`]: `± 4 %`, `± 0.02 mm`, `+0.02/-0.01 mm`.
//! - [`Limit`]: any of `41.2..41.9 mm`, `0.20 ± 0.02 mm`, `10 +0.02/-0.01 mm`, `max 0.05 mm`, `min 1.2 bar`, `30 H7`, with its
//!   bounds as exact decimals and their conversion inward.
//!
//! The grammar they share is in `expression.rs`; a unit may stand once, at the end, for the whole value.

mod expression;
mod fits;
mod interval;
#[expect(
    clippy::module_inception,
    reason = "the module is named after its main type, as its file is"
)]
mod limit;
mod tolerance;

pub use interval::Interval;
pub use limit::{Bounds, Form, Limit};
pub use tolerance::Tolerance;

pub(crate) use expression::Expression;

#[cfg(test)]
mod tests;
