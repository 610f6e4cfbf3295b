//! Gauges: is the scale fine enough for the limit.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::limit::{Bounds, Interval};
use crate::quantity::Measure;

/// A gauge should read ten times finer than the limit is wide (rule of thumb of the trade; common practice, no source).
pub const DEFAULT_GAUGE_RATIO: f64 = 10.0;

/// A gauge as the shop's register describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauge {
    /// What it can measure, if known.
    pub range: Option<Interval>,
    /// The least difference it shows, if known.
    pub resolution: Option<Measure>,
}

/// What a gauge makes of a limit.
#[derive(Clone, Debug, PartialEq)]
pub struct GaugeFit {
    /// Width of the limit over the resolution; `None` if the resolution isn't known.
    pub ratio: Option<f64>,
    /// Whether that is at least the ratio asked for; `None` likewise.
    pub fine_enough: Option<bool>,
    /// Whether the gauge's range holds the bounds; `None` if the range isn't known.
    pub in_range: Option<bool>,
    /// The coarsest resolution that would do, in the limit's unit.
    pub needed: Option<Measure>,
}

impl Gauge {
    /// What the gauge makes of a limit's bounds, at a ratio of width to resolution (usually [`DEFAULT_GAUGE_RATIO`]). A limit with
    /// one bound counts as wide as that bound is large: `max 0.05 mm` needs the gauge that `0..0.05 mm` does.
    /// `None` if the gauge measures something else.
    pub fn fit(&self, bounds: &Bounds, ratio: f64) -> Option<GaugeFit> {
        let width = match (&bounds.low, &bounds.high) {
            (Some(_), Some(_)) => bounds.width()?,
            (Some(only), None) | (None, Some(only)) => {
                Measure::new(crate::quantity::Figure::computed(only.value().abs()), only.unit())
            }
            (None, None) => return None,
        };
        let found = match &self.resolution {
            Some(resolution) => {
                let step = resolution.unit().convert_difference(resolution.value(), width.unit())?;
                if step.is_zero() {
                    None
                } else {
                    width.value().checked_div(step)?.to_f64()
                }
            }
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
        let needed = Decimal::from_f64_retain(ratio)
            .filter(|ratio| *ratio > Decimal::ZERO)
            .and_then(|ratio| width.value().checked_div(ratio))
            .map(|step| Measure::new(crate::quantity::Figure::computed(step.normalize()), width.unit()));
        // A part in a billion, so that a ratio of exactly ten counts.
        Some(GaugeFit {
            ratio: found,
            fine_enough: found.map(|found| found * (1.0 + 1e-9) >= ratio),
            in_range,
            needed,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limit::Limit;

    fn gauge(range: &str, resolution: &str) -> Gauge {
        Gauge {
            range: Interval::parse(range, &[]).ok(),
            resolution: Measure::parse(resolution).ok(),
        }
    }

    #[test]
    fn ten_to_one() {
        let bounds = Limit::parse("33.0..33.7 mm").unwrap().bounds().clone();
        let fit = gauge("25..50 mm", "0.01 mm").fit(&bounds, DEFAULT_GAUGE_RATIO).unwrap();
        assert_eq!((fit.fine_enough, fit.in_range), (Some(true), Some(true)));
        let fit = gauge("0..25 mm", "0.1 mm").fit(&bounds, DEFAULT_GAUGE_RATIO).unwrap();
        assert_eq!((fit.fine_enough, fit.in_range), (Some(false), Some(false)));
        assert_eq!(fit.needed.unwrap().to_string(), "0.07 mm");
        let play = Limit::parse("max 0.05 mm").unwrap().bounds().clone();
        assert_eq!(
            gauge("0..1 in", "0.001 in").fit(&play, 10.0).unwrap().fine_enough,
            Some(false)
        );
        assert_eq!(gauge("", "0.005 mm").fit(&play, 10.0).unwrap().fine_enough, Some(true));
        assert!(gauge("", "1 bar").fit(&play, 10.0).is_none());
    }
}
