//! Answers from the tables, line by line: a thread, a property class, a fit. Each line is a name and a figure with its unit; where a figure
//! has a range, the range is printed, and an estimate is called one.

pub mod calc;
pub mod class;
mod fit;
mod figures;
mod thread;

pub use fit::{FitQuestion, fit};
pub use thread::thread;

pub(crate) use figures::{line, number};

/// An answer, and whether it is that something can't be done as asked.
#[derive(Debug, Default)]
pub struct Answer {
    pub lines: Vec<String>,
    pub refused: bool,
}
