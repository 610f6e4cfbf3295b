//! The ledger: what is fitted, what is loose, what state the machine is in and which timers run, at every act of a set, for every
//! combination of its options.
//!
//! [`Ledger`] holds what the walk over a set finds wrong, as plain data; the rules of `check/rules/` read it and choose the words. The
//! walk itself is [`super::machine`]'s. [`carried()`] and [`close_out()`] tell the cards the same for one combination of choices.
//!
//! ```text
//! set ─▶ flow (steps in order, each with its guard) ─▶ machine ─▶ faults
//! ```

mod carried;
mod close_out;
pub(crate) mod diagram;
mod fasteners;
mod held;
pub(crate) mod fault;
mod fewest;

pub use carried::{Carried, Gap, Holding, Moment, Open, Standing, carried, moment};
pub use close_out::{CloseOut, FinalTorque, Hold, TemporaryItem, close_out};
pub use diagram::LIMIT as COMBINATIONS;
pub use fasteners::{Grip, Stands};
pub use fault::{Fault, How, Lack, Left, Since, Untried, Wrong};

use crate::check::walk::guard::Variables;
use crate::source::Span;

/// What is known of a set.
#[derive(Debug, Default)]
pub struct Ledger {
    /// Everything wrong, in reading order.
    pub faults: Vec<Fault>,
    /// Entries with too many combinations to check, and their ids.
    pub unchecked: Vec<(Span, String)>,
    /// Where the set allows more orders, or more ways round, than were tried.
    pub untried: Vec<Untried>,
    /// Diagram nodes looked at: how much work it was.
    pub visited: usize,
    /// Options, and answers that steps ask for.
    pub variables: Variables,
}
