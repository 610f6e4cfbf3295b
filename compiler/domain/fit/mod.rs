//! Limits and fits of ISO 286: a nominal size with a tolerance class, and what a hole and a shaft make together.
//!
//! Held: sizes above 0 up to 3150 mm, grades IT01 to IT18 (from IT1 above 500 mm), deviations a to zc and A to ZC as far as the standard
//! defines them. Fundamental deviations and grades are tabled (`compiler/tables/iso286.csv`, micrometres); holes follow from shafts by
//! the standard's rule with its Δ. A size on a boundary belongs to the lower range. [`inch`] has the fits of ANSI B4.1, [`press`] what
//! an interference does.

mod deviation;
pub mod inch;
pub mod press;

use std::fmt;
use std::ops::Range;

use rust_decimal::Decimal;
use uom::si::f64::Length;

use crate::quantity::{Figure, Measure, Unit, ValueError, ValueErrorKind, Written};
use crate::table::broken;

pub use deviation::{Deviations, deviations};

/// A nominal size in millimetres with its tolerance class: `30 H7` (a hole, capital letter) or `50 g6` (a shaft).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fit {
    size: Figure,
    class: String,
    deviations: Deviations,
}

impl Fit {
    /// The figure of the nominal size, in millimetres.
    pub(crate) fn figure(&self) -> &Figure {
        &self.size
    }

    /// A fit from its parts; no unit means millimetres. `at` is where they stand.
    pub(crate) fn of(size: Figure, unit: Option<Unit>, class: &str, at: Range<usize>) -> Result<Fit, ValueError> {
        let found = format!("{size} {class}");
        let fail = |reason: String| {
            ValueError::new(
                at.clone(),
                ValueErrorKind::UnknownFit {
                    found: found.clone(),
                    reason,
                },
            )
        };
        if unit.is_some_and(|unit| unit.symbol() != "mm") {
            return Err(fail("its nominal size is in millimetres".to_owned()));
        }
        let deviations = deviations(size.value(), class).map_err(fail)?;
        Ok(Fit {
            size,
            class: class.to_owned(),
            deviations,
        })
    }

    /// The nominal size.
    pub fn size(&self) -> Written<Length> {
        typed(Measure::new(self.size.clone(), millimetre()))
    }

    /// The tolerance class: `H7`.
    pub fn class(&self) -> &str {
        &self.class
    }

    /// Whether it is a hole (an internal feature) rather than a shaft.
    pub fn is_hole(&self) -> bool {
        self.class.starts_with(|letter: char| letter.is_ascii_uppercase())
    }

    /// Lower and upper deviation from the nominal size, in micrometres.
    pub fn deviations(&self) -> Deviations {
        self.deviations
    }

    /// Where its deviations come from.
    pub fn source(&self) -> &'static str {
        self.deviations.source
    }

    /// The least and the greatest size, in millimetres to the micrometre (or the half, where the class has one).
    pub fn bounds(&self) -> (Measure, Measure) {
        let bound = |deviation: Decimal| {
            let mut size = self.size.value() + deviation / Decimal::ONE_THOUSAND;
            size = size.normalize();
            size.rescale(size.scale().max(3));
            Measure::new(Figure::computed(size), millimetre())
        };
        (bound(self.deviations.lower), bound(self.deviations.upper))
    }
}

impl fmt::Display for Fit {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} {}", self.size, self.class)
    }
}

/// A hole and a shaft of one nominal size: `50 H7/g6`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FitPair {
    hole: Fit,
    shaft: Fit,
}

impl FitPair {
    /// A hole and a shaft; `None` if they are not these, in that order.
    pub(crate) fn of(hole: Fit, shaft: Fit) -> Option<FitPair> {
        (hole.is_hole() && !shaft.is_hole()).then_some(FitPair { hole, shaft })
    }

    /// The hole.
    pub fn hole(&self) -> &Fit {
        &self.hole
    }

    /// The shaft.
    pub fn shaft(&self) -> &Fit {
        &self.shaft
    }

    /// The least clearance, in micrometres: negative is the greatest interference.
    pub fn least_clearance(&self) -> Written<Length> {
        micrometres(self.hole.deviations.lower - self.shaft.deviations.upper)
    }

    /// The greatest clearance, in micrometres: negative is the least interference.
    pub fn greatest_clearance(&self) -> Written<Length> {
        micrometres(self.hole.deviations.upper - self.shaft.deviations.lower)
    }
}

impl fmt::Display for FitPair {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} {}/{}", self.hole.size, self.hole.class, self.shaft.class)
    }
}

fn millimetre() -> Unit {
    Unit::find("mm").unwrap_or_else(Unit::first)
}

fn micrometres(value: Decimal) -> Written<Length> {
    typed(Measure::new(
        Figure::computed(value),
        Unit::find("µm").unwrap_or_else(Unit::first),
    ))
}

fn typed(measure: Measure) -> Written<Length> {
    measure
        .typed()
        .unwrap_or_else(|| broken("units.csv: millimetres and micrometres are lengths"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bounds(text: &str) -> (String, String) {
        let (low, high) = Fit::parse(text).unwrap().bounds();
        (low.to_string(), high.to_string())
    }

    #[test]
    fn sizes_of_holes_and_shafts() {
        let pair = |low: &str, high: &str| (format!("{low} mm"), format!("{high} mm"));
        assert_eq!(bounds("30 H7"), pair("30.000", "30.021"));
        assert_eq!(bounds("Ø30 mm h6"), pair("29.987", "30.000"));
        assert_eq!(bounds("60 js6"), pair("59.9905", "60.0095"));
        assert_eq!(bounds("30 K7"), pair("29.985", "30.006"));
        assert_eq!(bounds("30 N9"), pair("29.948", "30.000"));
        assert_eq!(bounds("30P7"), pair("29.965", "29.986"));
        assert_eq!(bounds("300 M6"), pair("299.959", "299.991"));
        assert_eq!(bounds("2 N7"), pair("1.986", "1.996"));
        assert_eq!(bounds("30 H3"), pair("30.000", "30.004"));
        assert_eq!(bounds("100 js4"), pair("99.995", "100.005"));
        assert_eq!(bounds("16 zc8"), pair("16.150", "16.177"));
        assert_eq!(bounds("170 za7"), pair("170.600", "170.640"));
        assert_eq!(bounds("45 a11"), pair("44.520", "44.680"));
        assert_eq!(bounds("45 j6"), pair("44.995", "45.011"));
        assert_eq!(bounds("45 J7"), pair("44.989", "45.014"));
        assert_eq!(bounds("45 ZC8"), pair("44.636", "44.675"));
        assert_eq!(bounds("5 ef7"), pair("4.974", "4.986"));
        assert_eq!(bounds("700 H7"), pair("700.000", "700.080"));
        assert_eq!(bounds("1000 p6"), pair("1000.100", "1000.156"));
    }

    #[test]
    fn what_the_tables_lack_is_said() {
        for text in [
            "30 H19", "30 Q7", "4000 H7", "0 H7", "20 t6", "30 in H7", "30 K9", "30 mm", "600 H01", "1 a9", "30 K2",
            "20 j9",
        ] {
            let error = Fit::parse(text).unwrap_err();
            assert!(
                matches!(error.kind, ValueErrorKind::UnknownFit { .. }),
                "{text}: {error:?}"
            );
        }
        assert!(FitPair::parse("50 g6/H7").is_err());
    }

    #[test]
    fn pairs_give_clearance() {
        let pair = FitPair::parse("30 H7/k6").unwrap();
        assert_eq!(pair.least_clearance().to_string(), "-15 µm");
        assert_eq!(pair.greatest_clearance().to_string(), "19 µm");
    }
}
