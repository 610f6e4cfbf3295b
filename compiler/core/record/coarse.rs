//! Readings that are written too coarsely to be judged by their limit.

use super::form::ReadingBox;
use super::judge::Judge;
use crate::domain::quantity::{Figure, Measure, Unit};
use rust_decimal::Decimal;

/// What a digit at a power of ten stands for.
fn step_of(place: i32) -> Option<Decimal> {
    match place <= 0 {
        true => Some(Decimal::new(1, place.unsigned_abs().min(Decimal::MAX_SCALE))),
        false => (0..place).try_fold(Decimal::ONE, |step, _| step.checked_mul(Decimal::TEN)),
    }
}

impl Judge<'_> {
    /// What a reading must be written to so that it can be judged; `None` if it can be as it stands. It must be as fine as the last digit
    /// of its limit, unless all that rounds to what is written lies on one side of each bound.
    pub(super) fn too_coarse(&self, reading: &ReadingBox, value: &Measure) -> Option<Measure> {
        let limit = self.limit(reading)?;
        let bounds: Vec<&Measure> = [&limit.bounds().low, &limit.bounds().high]
            .into_iter()
            .flatten()
            .collect();
        let digits = bounds.iter().map(|b| b.figure().place()).min()?;
        let finest = step_of(digits)?;
        let step = step_of(value.figure().place())?;
        if value.unit().convert_difference(step, limit.unit())? <= finest {
            return None;
        }
        let half = step.checked_div(Decimal::TWO)?;
        let end = |value: Option<Decimal>, unit: Unit| unit.convert(value?, limit.unit());
        let low = end(value.value().checked_sub(half), value.unit())?;
        let high = end(value.value().checked_add(half), value.unit())?;
        let straddles = bounds.iter().any(|bound| {
            let bound = bound.unit().convert(bound.value(), limit.unit());
            bound.is_some_and(|bound| low < bound && bound < high)
        });
        straddles.then(|| Measure::new(Figure::computed(finest), limit.unit()))
    }
}
