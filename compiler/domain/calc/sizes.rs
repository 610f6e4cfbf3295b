//! The sizes something comes in, and which of them to take.

use super::error::{CalcError, CalcErrorKind};
use crate::quantity::{Dimension, Figure, Measure};
use rust_decimal::Decimal;
use std::cmp::Ordering;
use std::ops::Range;

/// Which size is taken for a wanted figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pick {
    /// The one nearest to it; of two equally near the smaller, which leaves the larger clearance.
    Nearest,
    /// The largest that isn't above it.
    NextBelow,
    /// The smallest that isn't below it.
    NextAbove,
}

const PICKS: [(&str, Pick); 3] = [
    ("nearest", Pick::Nearest),
    ("next-below", Pick::NextBelow),
    ("next-above", Pick::NextAbove),
];

impl Pick {
    pub(super) fn from_word(word: &str) -> Option<Pick> {
        PICKS.iter().find(|(w, _)| *w == word).map(|(_, pick)| *pick)
    }

    pub fn word(self) -> &'static str {
        PICKS.iter().find(|(_, p)| *p == self).map_or("", |(word, _)| word)
    }
}

/// Which sizes of a run are stocked, by the last digit written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Parity {
    Even,
    Odd,
}

/// The sizes there are: all in one unit, smallest first, at least one.
#[derive(Debug, Clone, PartialEq)]
pub struct Sizes {
    all: Vec<Measure>,
    /// As written.
    text: String,
}

/// More sizes than this are a slip in the step.
const MOST: usize = 5000;

impl Sizes {
    /// Every size, smallest first.
    pub fn all(&self) -> &[Measure] {
        &self.all
    }

    pub fn dimension(&self) -> Dimension {
        self.all.first().map_or(Dimension::Length, Measure::dimension)
    }

    /// As written.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The size for a wanted figure; `None` if it measures something else, or if no size lies on the side asked for.
    pub fn pick(&self, pick: Pick, wanted: &Measure) -> Option<&Measure> {
        let below = |size: &&Measure| matches!(size.compare(wanted), Some(Ordering::Less | Ordering::Equal));
        let above = |size: &&Measure| matches!(size.compare(wanted), Some(Ordering::Greater | Ordering::Equal));
        match pick {
            Pick::NextBelow => self.all.iter().rfind(below),
            Pick::NextAbove => self.all.iter().find(above),
            Pick::Nearest => {
                let unit = self.all.first()?.unit();
                let wanted = wanted.unit().convert(wanted.value(), unit)?;
                self.all.iter().min_by_key(|size| (size.value() - wanted).abs())
            }
        }
    }
}

/// Reads `2.00..3.00 mm step 0.05 mm`, or sizes parted by commas; `even` or `odd` at the end keeps those whose last digit is so.
pub(super) fn read_sizes(at: Range<usize>, text: &str) -> Result<Sizes, CalcError> {
    let fault = |words: &str| CalcError::new(at.clone(), CalcErrorKind::Sizes(words.to_string()));
    let mut pieces: Vec<&str> = text.split(',').map(str::trim).filter(|p| !p.is_empty()).collect();
    let parity = match pieces.last() {
        Some(&"even") => Some(Parity::Even),
        Some(&"odd") => Some(Parity::Odd),
        _ => None,
    };
    if parity.is_some() {
        pieces.pop();
    }
    if pieces.is_empty() {
        return Err(fault("the sizes to choose from are missing"));
    }
    let mut all: Vec<Measure> = Vec::new();
    for piece in pieces {
        let sizes = if piece.contains(" step ") {
            run(piece)
        } else {
            one(piece)
        };
        all.extend(sizes.map_err(|words| fault(&words))?);
    }
    let Some(first) = all.first().cloned() else {
        return Err(fault("there is no size in this run"));
    };
    if all.iter().any(|size| size.unit() != first.unit()) {
        return Err(fault("the sizes are not all in one unit"));
    }
    if let Some(parity) = parity {
        let places = all.iter().map(|s| s.value().scale()).max().unwrap_or(0);
        all.retain(|size| is(parity, size.value(), places));
    }
    if all.is_empty() {
        return Err(fault("no size is left"));
    }
    all.sort_by_key(Measure::value);
    all.dedup_by_key(|size| size.value());
    Ok(Sizes {
        all,
        text: text.trim().to_string(),
    })
}

fn is(parity: Parity, mut size: Decimal, places: u32) -> bool {
    size.rescale(places);
    let even = size.mantissa() % 2 == 0;
    even == (parity == Parity::Even)
}

fn one(piece: &str) -> Result<Vec<Measure>, String> {
    Measure::parse(piece).map(|m| vec![m]).map_err(|e| e.message())
}

fn run(piece: &str) -> Result<Vec<Measure>, String> {
    let (range, step) = piece.split_once(" step ").unwrap_or((piece, ""));
    let interval = crate::limit::Interval::parse(range, &[]).map_err(|e| e.message())?;
    let step = Measure::parse(step.trim()).map_err(|e| e.message())?;
    let unit = interval.high().unit();
    let own = |m: &Measure| m.unit().convert(m.value(), unit);
    let (Some(low), Some(step)) = (own(interval.low()), own(&step)) else {
        return Err("the step measures something else than the sizes".to_string());
    };
    if step <= Decimal::ZERO {
        return Err("the step must be above zero".to_string());
    }
    let high = interval.high().value();
    let places = low.scale().max(high.scale()).max(step.normalize().scale());
    let mut sizes = Vec::new();
    let mut size = low;
    while size <= high {
        if sizes.len() >= MOST {
            return Err(format!("these are more than {MOST} sizes"));
        }
        let mut shown = size;
        shown.rescale(places);
        sizes.push(Measure::new(Figure::computed(shown), unit));
        size = size.checked_add(step).ok_or("the sizes are out of range")?;
    }
    Ok(sizes)
}
