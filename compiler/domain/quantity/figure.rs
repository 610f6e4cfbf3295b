//! A figure: a number as somebody wrote it.

use std::fmt;

use rust_decimal::Decimal;

use super::rounding::{leading_digit, leading_place, round_to_place};
use super::{Rounding, Unit};

/// A number as written, with its value in decimal and the digits that count.
///
/// Every digit written counts: `100` has three significant digits, `100.0` four, `0.050` two. An author who writes 100 N·m sets a
/// wrench to 100, not to somewhere between 50 and 150. A common fraction (`3/8`) counts as three.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    text: String,
    value: Decimal,
    place: i32,
    digits: u32,
}

impl Figure {
    /// A figure as written; `text` is kept to the letter.
    pub(crate) fn written(text: &str, value: Decimal) -> Figure {
        Figure {
            text: text.to_owned(),
            value,
            place: -decimals(value),
            digits: significant(value),
        }
    }

    /// A common fraction as written; its value is exact, and it counts as three digits.
    pub(crate) fn fraction(text: &str, value: Decimal) -> Figure {
        Figure {
            text: text.to_owned(),
            value,
            place: leading_place(value) - 2,
            digits: 3,
        }
    }

    /// A figure that was worked out: its digits are those of `value`, zeros at the end included, and zero has no sign.
    pub fn computed(value: Decimal) -> Figure {
        let mut value = value;
        if value.is_zero() {
            value.set_sign_positive(true);
        }
        Figure {
            text: value.to_string(),
            value,
            place: -decimals(value),
            digits: significant(value),
        }
    }

    /// The digits as written.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The value, exact.
    pub fn value(&self) -> Decimal {
        self.value
    }

    /// How many of the digits count.
    pub fn digits(&self) -> u32 {
        self.digits
    }

    /// The power of ten the last digit stands for: -2 for `0.05`, 0 for `12` and for `120`.
    pub fn place(&self) -> i32 {
        self.place
    }

    /// The place to round `converted` to so that it says no more and not much less than this figure does.
    ///
    /// As many significant digits as the figure has, and one more where the first digit got smaller (NIST SP 1038, section on
    /// rounding: 66 mi/h is 106 km/h, 11 mi/h is 18 km/h), but never fewer than two: 1 N·m is 0.74 lbf·ft, since 0.7 would be
    /// five per cent off. Temperatures keep the figure's decimal place, because their zero is arbitrary.
    pub(crate) fn converted_place(&self, converted: Decimal, from: Unit, to: Unit) -> i32 {
        if from.has_offset() || to.has_offset() || self.value.is_zero() || converted.is_zero() {
            return self.place.min(0);
        }
        let extra = u32::from(leading_digit(converted) < leading_digit(self.value));
        let digits = (self.digits + extra).max(2);
        leading_place(converted) - i32::try_from(digits).unwrap_or(i32::MAX) + 1
    }

    /// This figure in another unit, rounded to its own significance; `None` where the units measure different things or the result
    /// is out of range (beyond 28 digits).
    pub fn convert(&self, from: Unit, to: Unit, rounding: Rounding) -> Option<Figure> {
        if from == to {
            return Some(self.clone());
        }
        let converted = from.convert(self.value, to)?;
        let place = self.converted_place(converted, from, to);
        Some(Figure::computed(round_to_place(converted, place, rounding)))
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.text)
    }
}

fn decimals(value: Decimal) -> i32 {
    i32::try_from(value.scale()).unwrap_or(0)
}

fn significant(value: Decimal) -> u32 {
    value
        .mantissa()
        .unsigned_abs()
        .checked_ilog10()
        .map_or(1, |log| log + 1)
}
