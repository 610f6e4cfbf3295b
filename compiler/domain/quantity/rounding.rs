//! Rounding in decimal, where a tie is a tie: a binary 1.005 is not one.

use rust_decimal::{Decimal, RoundingStrategy};

/// How a figure loses digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To the nearer; a tie goes to the even digit (NIST SP 811 B.7.1, ISO 80000-1 annex B).
    Nearest,
    /// Toward minus infinity: an upper limit, so that it only gets tighter.
    Down,
    /// Toward plus infinity: a lower limit, so that it only gets tighter.
    Up,
}

/// Rounds so that the last digit kept stands for 10 to the power `place`: -2 keeps hundredths, 3 keeps thousands.
///
/// The result carries exactly the digits kept (`1.00`, not `1`) and zero never has a sign. A value too large to carry so many
/// digits (28 in all) keeps as many as fit.
pub fn round_to_place(value: Decimal, place: i32, rounding: Rounding) -> Decimal {
    let strategy = match rounding {
        Rounding::Nearest => RoundingStrategy::MidpointNearestEven,
        Rounding::Down => RoundingStrategy::ToNegativeInfinity,
        Rounding::Up => RoundingStrategy::ToPositiveInfinity,
    };
    let mut rounded = if place <= 0 {
        let places = place.unsigned_abs().min(Decimal::MAX_SCALE);
        let mut kept = value.round_dp_with_strategy(places, strategy);
        kept.rescale(places);
        kept
    } else {
        power_of_ten(place)
            .and_then(|unit| {
                value
                    .checked_div(unit)?
                    .round_dp_with_strategy(0, strategy)
                    .checked_mul(unit)
            })
            .unwrap_or(value)
    };
    if rounded.is_zero() {
        rounded.set_sign_positive(true);
    }
    rounded
}

/// Rounds to so many decimal places: `round_to_places(2.5, 0)` is 2, a tie going to the even digit.
pub fn round_to_places(value: Decimal, places: u32, rounding: Rounding) -> Decimal {
    round_to_place(value, -i32::try_from(places).unwrap_or(i32::MAX), rounding)
}

/// Rounds to so many significant digits (at least one), counted from the first digit of `value` that isn't zero.
pub fn round_to_digits(value: Decimal, digits: u32, rounding: Rounding) -> Decimal {
    let kept = i32::try_from(digits.max(1)).unwrap_or(i32::MAX);
    round_to_place(value, leading_place(value).saturating_sub(kept - 1), rounding)
}

/// The power of ten the first significant digit stands for: 2 for 123, -3 for 0.0012, 0 for zero.
pub(crate) fn leading_place(value: Decimal) -> i32 {
    let mantissa = value.mantissa().unsigned_abs();
    mantissa.checked_ilog10().map_or(0, |log| {
        i32::try_from(log).unwrap_or(0) - i32::try_from(value.scale()).unwrap_or(0)
    })
}

/// The first significant digit, 0 for zero.
pub(crate) fn leading_digit(value: Decimal) -> u32 {
    let mut mantissa = value.mantissa().unsigned_abs();
    while mantissa >= 10 {
        mantissa /= 10;
    }
    u32::try_from(mantissa).unwrap_or(0)
}

/// Ten to `place` (0 to 28) as a decimal.
fn power_of_ten(place: i32) -> Option<Decimal> {
    let place = u32::try_from(place).ok().filter(|place| *place <= Decimal::MAX_SCALE)?;
    Decimal::try_from_i128_with_scale(10_i128.pow(place), 0).ok()
}
