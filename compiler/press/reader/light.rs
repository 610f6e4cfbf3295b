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

/// How far apart two colours are in light, from 1 to 21.
pub fn contrast(a: Colour, b: Colour) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// A colour over another.
pub fn over([red, green, blue, a]: Colour, ground: Colour) -> Colour {
    let mix = |top: f64, ground: f64| top * a + ground * (1.0 - a);
    [mix(red, ground[0]), mix(green, ground[1]), mix(blue, ground[2]), 1.0]
}

pub const BLACK: Colour = [0.0, 0.0, 0.0, 1.0];

pub const WHITE: Colour = [1.0, 1.0, 1.0, 1.0];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contrast_is_that_of_the_guidelines() {
        // WCAG 2.2: black on white is 21 : 1; #767676 on white is the lightest grey that reaches 4.5 : 1.
        assert!((contrast(WHITE, BLACK) - 21.0).abs() < 0.01);
        let grey = |level: f64| [level / 255.0, level / 255.0, level / 255.0, 1.0];
        assert!(contrast(grey(118.0), WHITE) >= 4.5 && contrast(grey(119.0), WHITE) < 4.5);
        assert!(contrast(over([0.0, 0.0, 0.0, 0.1], WHITE), WHITE) < 1.5);
    }
}
