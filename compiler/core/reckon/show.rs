//! How ranges are written in answers.

use super::span::Span;
use crate::answers::number;

/// What SI units are shown in: the symbol and how many SI units it is.
#[derive(Clone, Copy)]
pub struct Shown(pub &'static str, pub f64);

pub const MILLIMETRES: Shown = Shown("mm", 1e-3);
pub const MICROMETRES: Shown = Shown("µm", 1e-6);
pub const NEWTONS: Shown = Shown("N", 1.0);
pub const KILONEWTONS: Shown = Shown("kN", 1e3);
pub const NEWTON_METRES: Shown = Shown("N·m", 1.0);
pub const MEGAPASCALS: Shown = Shown("MPa", 1e6);
pub const PSI: Shown = Shown("psi", 6_894.757_293_168_361);
pub const PER_CENT: Shown = Shown("%", 1e-2);

/// `3.53 mm`, or `3.43 to 3.63 mm (3.53 mm aimed at)`, to so many significant figures.
pub fn span(span: Span, shown: Shown, digits: i32) -> String {
    let figure = |value: f64| number(value / shown.1, digits);
    let (low, usual, high) = (figure(span.low), figure(span.usual), figure(span.high));
    if low == high {
        return format!("{usual} {}", shown.0);
    }
    let unit = shown.0;
    if usual == low || usual == high {
        return format!("{low} to {high} {unit}");
    }
    format!("{low} to {high} {unit} ({usual} {unit} in the middle)")
}

/// To so many decimal places: for sizes that are compared with each other.
pub fn places(span: Span, shown: Shown, places: usize) -> String {
    let figure = |value: f64| {
        let text = format!("{:.places$}", value / shown.1);
        if text.trim_start_matches(['-', '0', '.']).is_empty() {
            text.trim_start_matches('-').to_string()
        } else {
            text
        }
    };
    let (low, usual, high) = (figure(span.low), figure(span.usual), figure(span.high));
    let unit = shown.0;
    if low == high {
        return format!("{usual} {unit}");
    }
    if usual == low || usual == high {
        return format!("{low} to {high} {unit}");
    }
    format!("{low} to {high} {unit} ({usual} {unit} in the middle)")
}
