//! Gauges: is the scale fine enough for the limit.

use rust_decimal::Decimal;

use crate::limit::{Bounds, Interval, Tolerance};
use crate::quantity::{Figure, Measure, Rounding, round_to_digits};

/// A gauge should read ten times finer than a limit is wide (rule of thumb of the trade; common practice, no source).
pub const DEFAULT_GAUGE_RATIO: f64 = 10.0;

/// A gauge should be four times as accurate as the limit asks for (test accuracy ratio of calibration: MIL-STD-45662A, ANSI/NCSL
/// Z540-1; from memory): ± a quarter of ± half the width of a limit.
pub const GAUGE_ACCURACY_RATIO: Decimal = Decimal::from_parts(4, 0, 0, false, 0);

/// A gauge as the shop's register describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauge {
    /// What it can measure, if known.
    pub range: Option<Interval>,
    /// The least difference it shows, if known.
    pub resolution: Option<Measure>,
    /// How far off it may be, if known.
    pub accuracy: Option<Tolerance>,
}

/// What a gauge makes of a limit.
#[derive(Clone, Debug, PartialEq)]
pub struct GaugeFit {
    /// Whether it reads as fine as the limit needs; `None` if its resolution isn't known.
    pub fine_enough: Option<bool>,
    /// The coarsest resolution that would do, in the limit's unit; to two digits.
    pub needed: Measure,
    /// Whether it is accurate enough for the limit; `None` if its accuracy isn't known.
    pub accurate_enough: Option<bool>,
    /// The greatest inaccuracy either way that would do, in the limit's unit; to two digits.
    pub needed_accuracy: Measure,
    /// Whether the gauge's range holds the bounds; `None` if the range isn't known.
    pub in_range: Option<bool>,
}

impl Gauge {
    /// What the gauge makes of a limit's bounds, at a ratio of width to resolution (usually [`DEFAULT_GAUGE_RATIO`]).
    ///
    /// A limit with one bound has no width. It is judged by its last digit: `min 24.98 mm` can't be read on a scale of half millimetres.
    /// An upper bound also counts as wide as it is large: `max 0.05 mm` needs what `0..0.05 mm` does. `None` if the gauge
    /// measures something else.
    pub fn fit(&self, bounds: &Bounds, ratio: f64) -> Option<GaugeFit> {
        let unit = bounds.unit();
        let (width, finest) = match (&bounds.low, &bounds.high) {
            (Some(_), Some(_)) => (Some(bounds.width()?.value()), None),
            (None, Some(most)) => (Some(most.value().abs()), Some(last_digit(most))),
            (Some(least), None) => (None, Some(last_digit(least))),
            (None, None) => return None,
        };
        let part = |of: Decimal| {
            let of_width = width
                .filter(|width| !width.is_zero())
                .and_then(|width| width.checked_div(of));
            of_width.into_iter().chain(finest).min()
        };
        let ratio = Decimal::from_f64_retain(ratio).filter(|ratio| *ratio > Decimal::ZERO)?;
        // Of the width ± half counts.
        let (needed, needed_accuracy) = (part(ratio)?, part(GAUGE_ACCURACY_RATIO.checked_mul(Decimal::TWO)?)?);
        let own = |measure: &Measure| measure.unit().convert_difference(measure.value(), unit);
        let resolution = match &self.resolution {
            Some(resolution) => Some(own(resolution)?).filter(|step| !step.is_zero()),
            None => None,
        };
        let in_range = match &self.range {
            Some(range) => {
                let mut inside = true;
                for bound in [&bounds.low, &bounds.high].into_iter().flatten() {
                    inside &= range.contains(bound)?;
                }
                Some(inside)
            }
            None => None,
        };
        // The larger bound, where a share of the reading is most.
        let reading = [&bounds.low, &bounds.high]
            .into_iter()
            .flatten()
            .max_by_key(|b| b.value().abs());
        let off = self.accuracy.as_ref().zip(reading).and_then(|(accuracy, reading)| {
            let (low, high) = accuracy.around(reading)?;
            let off = |bound: Measure| bound.value().checked_sub(reading.value()).map(|off| off.abs());
            Some(off(low)?.max(off(high)?))
        });
        // A part in a billion, so that a ratio of exactly ten counts.
        let within = |found: Decimal, most: Decimal| {
            let slack = most.checked_mul(Decimal::new(1, 9)).unwrap_or_default();
            found <= most.saturating_add(slack)
        };
        let shown = |figure: Decimal| {
            Measure::new(
                Figure::computed(round_to_digits(figure, 2, Rounding::Down).normalize()),
                unit,
            )
        };
        Some(GaugeFit {
            fine_enough: resolution.map(|resolution| within(resolution, needed)),
            needed: shown(needed),
            accurate_enough: off.map(|off| within(off, needed_accuracy)),
            needed_accuracy: shown(needed_accuracy),
            in_range,
        })
    }
}

/// What the last digit of a bound stands for.
fn last_digit(bound: &Measure) -> Decimal {
    let place = bound.figure().place();
    let scale = u32::try_from(-place).unwrap_or(0).min(Decimal::MAX_SCALE);
    Decimal::new(1, scale)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limit::Limit;

    fn gauge(range: &str, resolution: &str, accuracy: &str) -> Gauge {
        Gauge {
            range: Interval::parse(range, &[]).ok(),
            resolution: Measure::parse(resolution).ok(),
            accuracy: Tolerance::parse(accuracy, &[]).ok(),
        }
    }

    fn fit(gauge: &Gauge, limit: &str) -> Option<GaugeFit> {
        gauge.fit(Limit::parse(limit).unwrap().bounds(), DEFAULT_GAUGE_RATIO)
    }

    #[test]
    fn ten_to_one() {
        let found = fit(&gauge("25..50 mm", "0.01 mm", ""), "41.2..41.9 mm").unwrap();
        assert_eq!((found.fine_enough, found.in_range), (Some(true), Some(true)));
        let found = fit(&gauge("0..25 mm", "0.1 mm", ""), "41.2..41.9 mm").unwrap();
        assert_eq!((found.fine_enough, found.in_range), (Some(false), Some(false)));
        assert_eq!(found.needed.to_string(), "0.07 mm");
        let fine = |resolution: &str, limit: &str| fit(&gauge("", resolution, ""), limit).unwrap().fine_enough;
        assert_eq!(fine("0.001 in", "max 0.05 mm"), Some(false));
        assert_eq!(fine("0.005 mm", "max 0.05 mm"), Some(true));
        assert!(fit(&gauge("", "1 bar", ""), "max 0.05 mm").is_none());
    }

    #[test]
    fn one_bound_is_judged_by_its_last_digit() {
        let fine = |resolution: &str, limit: &str| fit(&gauge("", resolution, ""), limit).unwrap().fine_enough;
        assert_eq!(fine("0.5 mm", "min 24.98 mm"), Some(false));
        assert_eq!(fine("0.01 mm", "min 24.98 mm"), Some(true));
        assert_eq!(fine("0.1 bar", "min 1.2 bar"), Some(true));
        assert_eq!(fine("10 N", "max 200 N"), Some(false));
        assert_eq!(fine("1 °C", "max 120 °C"), Some(true));
    }

    #[test]
    fn four_times_as_accurate() {
        let accurate = |accuracy: &str, limit: &str| {
            let found = fit(&gauge("", "0.001 mm", accuracy), limit).unwrap();
            (found.accurate_enough, found.needed_accuracy.to_string())
        };
        assert_eq!(
            accurate("± 0.002 mm", "30.000..30.021 mm"),
            (Some(true), "0.0026 mm".to_owned())
        );
        assert_eq!(accurate("± 0.02 mm", "30.000..30.021 mm").0, Some(false));
        assert_eq!(
            accurate("± 0.02 mm", "min 24.98 mm"),
            (Some(false), "0.01 mm".to_owned())
        );
        assert_eq!(accurate("± 1 %", "1.9..2.1 mm").0, Some(true));
        assert_eq!(accurate("", "1.9..2.1 mm").0, None);
    }
}
