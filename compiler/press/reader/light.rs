//! Light against dark, as WCAG 2.2 reckons it.

use super::piece::Colour;

/// Relative luminance (WCAG 2.2).
pub fn luminance(colour: Colour) -> f64 {
    let part = |c: f64| {
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * part(colour[0]) + 0.7152 * part(colour[1]) + 0.0722 * part(colour[2])
}

pub fn contrast(a: Colour, b: Colour) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// A colour over another.
pub fn over(top: Colour, ground: Colour) -> Colour {
    let a = top[3];
    let mix = |n: usize| top[n] * a + ground[n] * (1.0 - a);
    [mix(0), mix(1), mix(2), 1.0]
}
