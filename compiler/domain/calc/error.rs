//! What can be wrong with an expression, as data, and its words.

use crate::counted::counted;
use crate::quantity::{Dimension, ValueError};
use std::ops::Range;

/// Brackets within brackets that are still read.
pub const DEEPEST: usize = 24;

/// Values that one expression may have: what works it out goes down one operator after the other.
pub const MOST_TERMS: usize = 200;

/// A fault in an expression, and the bytes of its text that are at fault.
#[derive(Debug, Clone, PartialEq)]
pub struct CalcError {
    pub at: Range<usize>,
    pub kind: CalcErrorKind,
}

/// What the fault is.
#[derive(Debug, Clone, PartialEq)]
pub enum CalcErrorKind {
    /// A value was due here.
    NoValue,
    /// Something that belongs to no value stands here.
    Unexpected(String),
    /// A bracket that is never closed.
    Unclosed,
    /// Brackets within brackets, too many to read.
    TooDeep,
    /// More values than are worked out.
    TooLong,
    /// Neither an id nor a figure.
    NotAName(String),
    UnknownFunction(String),
    /// The function takes something else; completes "`max` takes …".
    Arguments(&'static str, &'static str),
    /// A figure or unit that can't be read.
    Value(ValueError),
    /// A list of sizes that can't be read; a whole sentence without its full stop.
    Sizes(String),
    /// A name that means no measurement.
    UnknownName(String),
    /// Two values of which one can't be added to, taken from or compared with the other.
    Mixed(String, String),
    /// Two temperatures added, or a temperature multiplied: its zero is arbitrary.
    Temperature,
    /// The result is not what the limit is about: what came out, what the limit measures.
    Result(String, Dimension),
    /// A temperature where a difference of two is due, or the other way round: what was due.
    Degrees(Dimension),
    /// Two lists of readings that don't pair.
    Unpaired(usize, usize),
    /// Readings that can't be shared out among places: how many of each.
    Places(usize, usize),
    /// One reading where the function compares several; the function, and what it needs.
    TooFew(&'static str, &'static str),
}

impl CalcError {
    pub(super) fn new(at: Range<usize>, kind: CalcErrorKind) -> CalcError {
        CalcError { at, kind }
    }

    /// What is wrong, as a sentence without its full stop.
    pub fn message(&self) -> String {
        match &self.kind {
            CalcErrorKind::NoValue => "a measurement or a figure is missing here".to_string(),
            CalcErrorKind::Unexpected(found) => format!("`{found}` belongs to nothing"),
            CalcErrorKind::Unclosed => "this bracket is never closed".to_string(),
            CalcErrorKind::TooDeep => {
                format!("this goes past the budget `brackets`: there may be {DEEPEST} brackets within each other")
            }
            CalcErrorKind::TooLong => {
                format!("this goes past the budget `terms`: there may be {MOST_TERMS} values in a calculation")
            }
            CalcErrorKind::NotAName(found) => format!("`{found}` is neither an id nor a figure"),
            CalcErrorKind::UnknownFunction(found) => format!("there is no function `{found}`"),
            CalcErrorKind::Arguments(function, takes) => format!("`{function}` takes {takes}"),
            CalcErrorKind::Value(error) => error.message(),
            CalcErrorKind::Sizes(words) => words.clone(),
            CalcErrorKind::UnknownName(name) => format!("`{name}` is not in limits"),
            CalcErrorKind::Mixed(first, second) => format!("{first} and {second} don't go together"),
            CalcErrorKind::Temperature => {
                "a temperature can only be taken from another, or changed by one in K".to_string()
            }
            CalcErrorKind::Result(found, limit) => format!("this gives {found}, and the limit is of {limit}"),
            CalcErrorKind::Degrees(Dimension::Temperature) => {
                "this gives a difference of temperatures, and the limit is a temperature".to_string()
            }
            CalcErrorKind::Degrees(_) => {
                "a temperature stands where a difference of two does, or the other way round".to_string()
            }
            CalcErrorKind::Unpaired(first, second) => {
                format!("{} meet {second} here", counted(*first, "reading", "readings"))
            }
            CalcErrorKind::Places(readings, places) => {
                let readings = counted(*readings, "reading", "readings");
                format!(
                    "{readings} can't be shared out among {}",
                    counted(*places, "place", "places")
                )
            }
            CalcErrorKind::TooFew(function, needs) => format!("`{function}` needs {needs}"),
        }
    }

    /// What to do about it, in the imperative.
    pub fn help(&self) -> String {
        match &self.kind {
            CalcErrorKind::NoValue | CalcErrorKind::Unexpected(_) | CalcErrorKind::NotAName(_) => {
                "put a space on both sides of every `+ - * /`".to_string()
            }
            CalcErrorKind::Unclosed => {
                "close it; in a map in braces a comma ends it, so put quotes round the calculation".to_string()
            }
            CalcErrorKind::TooDeep | CalcErrorKind::TooLong => "give a part of it a limit of its own".to_string(),
            CalcErrorKind::UnknownFunction(_) | CalcErrorKind::Arguments(..) => {
                "`benchleaf manual calculations` lists the functions and what they take".to_string()
            }
            CalcErrorKind::Value(error) => error.help(),
            CalcErrorKind::Sizes(_) => "write `2.00..3.00 mm step 0.05 mm`, or the sizes one by one".to_string(),
            CalcErrorKind::UnknownName(_) => {
                "add it to limits in this file, in `set.yaml` or in `workshop.yaml`".to_string()
            }
            CalcErrorKind::Mixed(..) => "compare like with like".to_string(),
            CalcErrorKind::Temperature => "write the change in K".to_string(),
            CalcErrorKind::Degrees(_) => {
                "write a difference in K (or Δ°F), such as `max 5 K`, and a temperature in °C or °F".to_string()
            }
            CalcErrorKind::Result(..) => "mend the calculation or the limit".to_string(),
            CalcErrorKind::Unpaired(..) => "make one figure of a list with `min`, `max` or `mean`".to_string(),
            CalcErrorKind::Places(..) => "measure both at the same places, in the same order".to_string(),
            CalcErrorKind::TooFew(..) => "measure at more places, or use `spread`".to_string(),
        }
    }
}
