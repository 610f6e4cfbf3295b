//! Bolt patterns as they are drawn: the code of a leaf stands for what the drawing shows.

use crate::fingerprint::{Meaning, Sink, leaf};
use crate::source::Span;
use crate::words::plain;
use serde::Serialize;

leaf! {
    /// Bolt positions, drawn to scale.
    pub struct Pattern {
        exempt(Span) id: String,
        says name: String,
        /// In tightening order; millimetres from an arbitrary origin, y up.
        says positions: Drawing,
        /// Share of the final figure for each pass, `30 %`; empty means one pass.
        says passes: Vec<String>,
        /// Which way it lies on the machine.
        says landmarks: Landmarks,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}

leaf! {
    /// What lies beyond one side of a drawing.
    pub struct Landmark {
        /// `top`, `right`, `bottom` or `left`.
        says side: String,
        says what: String,
    }
}

/// Those that the author names. A pattern with none has the code that it had before there was such a field.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
#[serde(transparent)]
pub struct Landmarks(pub Vec<Landmark>);

impl Meaning for Landmarks {
    fn feed(&self, sink: &mut Sink) {
        if !self.0.is_empty() {
            sink.text(stringify!(Landmarks));
            self.0.feed(sink);
        }
    }
}

/// Positions that are drawn together.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Drawing(pub Vec<Position>);

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Position {
    /// Place in the order, from 1.
    pub order: usize,
    pub x_mm: f64,
    pub y_mm: f64,
}

plain!(Drawing, Landmarks);

/// Millimetres below which a pattern is drawn at a scale of its own, rather than to fill its room (`scale-for` of the templates).
const SMALL: f64 = 28.5;

/// Parts of a pattern's size that a drawing shows.
const SHOWN: f64 = 1e4;

impl Meaning for Drawing {
    /// What the drawing shows: the positions by their order as shares of the larger of height and width, since it fills its room.
    fn feed(&self, sink: &mut Sink) {
        let Self(positions) = self;
        let axis = |of: fn(&Position) -> f64| {
            let (low, high) = positions
                .iter()
                .map(of)
                .fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(v), high.max(v)));
            (low, high - low)
        };
        let ((left, width), (bottom, height)) = (axis(|p| p.x_mm), axis(|p| p.y_mm));
        let size = width.max(height);
        sink.number(positions.len());
        if size > 0.0 && size < SMALL {
            sink.text(&format!("{size:.3}"));
        }
        let share = |value: f64| {
            if size > 0.0 {
                (value / size * SHOWN).round()
            } else {
                0.0
            }
        };
        for Position { order, x_mm, y_mm } in positions {
            sink.number(*order);
            sink.text(&format!("{} {}", share(x_mm - left), share(y_mm - bottom)));
        }
    }
}

impl FromIterator<Position> for Drawing {
    fn from_iter<I: IntoIterator<Item = Position>>(positions: I) -> Drawing {
        Drawing(positions.into_iter().collect())
    }
}
