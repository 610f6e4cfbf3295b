//! The ledger: what is fitted, what is loose, what state the machine is in and which timers run, at every act of a set, for every
//! combination of its options.
//!
//! [`Ledger::new`] walks a set once and gives facts as plain data; the rules of `check/rules/` read them and choose the words.
//! [`carried()`] and [`close_out()`] tell the cards the same for one combination of choices.
//!
//! ```text
//! set ─▶ flow (steps in order, each with its guard) ─▶ cells (items, fasteners, states, timers, joints) ─▶ faults
//!                                                         one decision diagram each (diagram.rs)
//! ```

mod carried;
mod cell;
mod close_out;
pub(crate) mod diagram;
mod fasteners;
mod fault;
pub mod flow;
pub(crate) mod guard;
mod items;
mod joints;
mod states;
mod timers;

pub use carried::{Carried, Gap, Holding, LooseFastener, Moment, Open, Place, Standing, carried, moment};
pub use close_out::{CloseOut, FinalTorque, Hold, TemporaryItem, close_out};
pub use fasteners::Grip;
pub use fault::{Fault, How, Since, Wrong};

use crate::model::Set;
use crate::source::Span;
use cell::Explorer;
use flow::Flow;

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
    /// Walks a set.
    pub fn new(set: &Set, flow: &Flow) -> Ledger {
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
