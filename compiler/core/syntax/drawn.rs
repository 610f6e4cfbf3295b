//! What the registers hold of drawings: bolt patterns, and pictures with pointers.

use super::Name;
use super::side::Side;
use crate::domain::pattern;

/// A picture of the text, with pointers into it.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    pub name: String,
    /// Relative to the file that the entry stands in; `None` only after an error.
    pub file: Option<Name>,
    pub points: Vec<Pointer>,
    pub note: Option<Name>,
}

/// What stands beside a picture, with a line to its place in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pointer {
    /// Drawn at the end of the line: a number, or a letter or two.
    pub label: Name,
    /// Shares of the picture's width and height, from its lower left corner; `None` only after an error.
    pub at: Option<(f64, f64)>,
    /// The entry that lies there.
    pub of: Option<Name>,
    /// Words for it, in place of the entry's name.
    pub says: Option<Name>,
}

/// Bolt positions.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    pub name: String,
    /// `None` only after an error.
    pub places: Option<Places>,
    /// Share of the final figure for each pass.
    pub passes: Option<pattern::Passes>,
    /// What lies beyond each side that the author names, clockwise from the top.
    pub landmarks: Vec<(Side, String)>,
    pub note: Option<Name>,
}

/// Where the bolts are and in which order they are tightened.
#[derive(Debug, Clone, PartialEq)]
pub struct Places {
    pub layout: Layout,
    pub pattern: pattern::Pattern,
    pub order: pattern::Order,
    /// The order in which they are undone.
    pub loosening: pattern::Order,
    /// True if the order was worked out, false if it is the author's.
    pub computed: bool,
}

/// How the positions were given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    Circle,
    Grid,
    Listed,
}

impl Layout {
    /// The field's name; for a list, the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Layout::Circle => "circle",
            Layout::Grid => "grid",
            Layout::Listed => "listed",
        }
    }
}
