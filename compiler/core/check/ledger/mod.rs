//! The ledger: what is fitted, what is loose, what state the machine is in and which timers run, at every act of a set, for every
//! combination of its options.
//!
//! [`Ledger::new`] follows the events of a set and gives facts as plain data; the rules of `check/rules/` read them and choose the
//! words. [`carried()`] and [`close_out()`] tell the cards the same of the set as played for one combination of choices.
//!
//! ```text
//! flow (events, each with its guard) ─▶ cells (items, fasteners, states, timers, joints) ─▶ faults
//!                                         one decision diagram each (diagram.rs)
//! ```

mod carried;
mod cell;
mod close_out;
pub(crate) mod diagram;
mod fasteners;
mod fault;
mod items;
mod joints;
mod states;
mod timers;

pub use carried::{Carried, Gap, Holding, LooseFastener, Moment, Open, Standing, carried, moment};
pub use close_out::{CloseOut, FinalTorque, Hold, TemporaryItem, close_out};
pub use diagram::LIMIT as COMBINATIONS;
pub use fasteners::Grip;
pub use fault::{Fault, How, Since, Wrong};

use crate::check::walk::Flow;
use crate::source::Span;
use cell::Explorer;

/// What is known of a set.
#[derive(Debug)]
pub struct Ledger {
    /// Everything wrong, in reading order.
    pub faults: Vec<Fault>,
    /// Entries with too many combinations to check, and their ids.
    pub unchecked: Vec<(Span, String)>,
    /// Diagram nodes looked at: how much work it was.
    pub visited: usize,
}

impl Ledger {
    /// Follows everything that happens in a set.
    pub fn new(flow: &Flow) -> Ledger {
        let set = flow.set;
        let mut explorer = Explorer {
            variables: &flow.variables,
            catalogue: &set.catalogue,
            end: flow.end().unwrap_or(Span::new(set.file, 0, 0)),
            faults: Vec::new(),
            unchecked: Vec::new(),
            visited: 0,
        };
        items::explore(set, flow, &mut explorer);
        fasteners::explore(set, flow, &mut explorer);
        states::explore(set, flow, &mut explorer);
        timers::explore(set, flow, &mut explorer);
        joints::explore(set, flow, &mut explorer);
        let Explorer {
            mut faults,
            mut unchecked,
            visited,
            ..
        } = explorer;
        faults.sort_by(|a, b| (a.at, &a.wrong).cmp(&(b.at, &b.wrong)));
        unchecked.sort();
        unchecked.dedup();
        Ledger {
            faults,
            unchecked,
            visited,
        }
    }
}
