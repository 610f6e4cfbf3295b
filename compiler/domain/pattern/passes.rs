//! Passes: the shares of the final torque a pattern is brought up in.

use rust_decimal::Decimal;
use uom::si::f64::{Ratio, Torque};

use super::PatternFault;
use crate::quantity::{Dimension, Figure, Measure, Rounding, Written, round_to_place};

/// Shares of the final torque, rising, the last 100 %. At least one.
#[derive(Clone, Debug, PartialEq)]
pub struct Passes(Vec<Written<Ratio>>);

impl Passes {
    /// Passes from shares as written.
    ///
    /// # Errors
    /// If there are none, one isn't above zero, they don't rise, or the last isn't 100 %.
    pub fn new(shares: Vec<Written<Ratio>>) -> Result<Passes, PatternFault> {
        let values: Vec<Decimal> = shares.iter().map(percent).collect();
        if values.iter().any(|value| *value <= Decimal::ZERO) {
            return Err(PatternFault::PassNotPositive);
        }
        if values.windows(2).any(|pair| matches!(pair, [one, next] if next <= one)) {
            return Err(PatternFault::PassesDoNotRise);
        }
        match values.last() {
            None => Err(PatternFault::Empty),
            Some(last) if *last != Decimal::ONE_HUNDRED => Err(PatternFault::LastPassNotWhole),
            Some(_) => Ok(Passes(shares)),
        }
    }

    /// The shares, as written.
    pub fn shares(&self) -> &[Written<Ratio>] {
        &self.0
    }

    /// The shares as plain numbers, the last 1.
    pub fn parts(&self) -> Vec<Decimal> {
        let part = |share| percent(share).checked_div(Decimal::ONE_HUNDRED).unwrap_or(Decimal::ONE);
        self.0.iter().map(part).collect()
    }

    /// The torque of each pass at the fastener, in the unit of the final one; the last is the author's figure itself. Those before are rounded to
    /// the place of its last digit, or one finer where that would be off by more than 2 % of the pass.
    pub fn torques(&self, last: &Written<Torque>) -> Vec<Written<Torque>> {
        self.0
            .iter()
            .map(|share| {
                let share = percent(share);
                if share == Decimal::ONE_HUNDRED {
                    return last.clone();
                }
                let exact = last
                    .figure()
                    .value()
                    .checked_mul(share)
                    .and_then(|part| part.checked_div(Decimal::ONE_HUNDRED));
                let torque = exact.and_then(|exact| {
                    let place = last.figure().place();
                    let coarse = round_to_place(exact, place, Rounding::Nearest);
                    let off = (coarse - exact).abs();
                    let value = if off > exact.checked_mul(Decimal::new(2, 2))? {
                        round_to_place(exact, place - 1, Rounding::Nearest)
                    } else {
                        coarse
                    };
                    Measure::new(Figure::computed(value), last.unit()).typed()
                });
                // A share of a torque that can be held can be held.
                torque.unwrap_or_else(|| last.clone())
            })
            .collect()
    }
}

/// A share in per cent, exact.
fn percent(share: &Written<Ratio>) -> Decimal {
    let unit = share.unit();
    crate::quantity::Unit::of(Dimension::Ratio)
        .next()
        .and_then(|percent| unit.convert(share.figure().value(), percent))
        .unwrap_or(Decimal::ZERO)
}
