//! Pointers into a picture, as they are drawn beside it.

use crate::fingerprint::{Meaning, Sink};
use crate::words::plain;
use serde::Serialize;

/// Those of one picture, in the author's order. A picture with none has the code that it had before there was such a field.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
#[serde(transparent)]
pub struct Pointed(pub Vec<Pointer>);

/// A line into the picture, with its label.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pointer {
    /// Drawn at the end of the line: `1`, `A`.
    pub label: String,
    /// What lies there.
    pub name: String,
    /// Share of the width from the left, 0 to 1.
    pub across: f64,
    /// Share of the height from below, 0 to 1.
    pub up: f64,
}

plain!(Pointed);

impl Pointed {
    /// What is printed under the picture, one text each.
    pub fn lines(&self) -> impl Iterator<Item = String> {
        let line = |pointer: &Pointer| format!("{} {}", pointer.label, pointer.name);
        self.0.iter().map(line)
    }

    /// Where they point, in shares of a thousandth: less is not seen.
    pub fn places(&self) -> String {
        let place = |pointer: &Pointer| format!("{:.3} {:.3}", pointer.across, pointer.up);
        self.0.iter().map(place).collect::<Vec<_>>().join(" ")
    }
}

impl Meaning for Pointed {
    fn feed(&self, sink: &mut Sink) {
        if self.0.is_empty() {
            return;
        }
        sink.text(stringify!(Pointed));
        sink.number(self.0.len());
        self.lines().for_each(|line| sink.text(&line));
        sink.text(&self.places());
    }
}
