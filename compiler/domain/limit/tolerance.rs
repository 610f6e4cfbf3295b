//! How far a figure may be off.

use std::fmt;

use rust_decimal::Decimal;

use crate::quantity::{Dimension, Figure, Measure, Rounding, Scan, Unit, ValueError, ValueErrorKind, round_to_digits};

/// How far off a nominal figure may be, either way. All figures are zero or above, but for two deviations to one side
/// (`10 -0.1/-0.2 mm` is −0.1 above and 0.2 below).
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tolerance {
    /// `± 10 %`: a share of the nominal figure.
    Share(Measure),
    /// `± 0.02 mm` or `+0.02/-0.01 mm`: amounts of the nominal's own dimension.
    Amount {
        /// How far above.
        plus: Measure,
        /// How far below.
        minus: Measure,
    },
}

impl Tolerance {
    /// Reads `± 10 %`, `10 %`, `± 0.02 mm`, `+0.02/-0.01 mm`. An amount must be of one of `dimensions`; none listed means any.
    ///
    /// # Errors
    /// If the text is none of these, is negative, or has no unit or one of another dimension.
    pub fn parse(text: &str, dimensions: &[Dimension]) -> Result<Tolerance, ValueError> {
        let mut scan = Scan::new(text);
        if scan.at_end() {
            return Err(ValueError::new(scan.remainder(), ValueErrorKind::Empty));
        }
        let wanted = Some(dimensions.first().copied().unwrap_or(Dimension::Ratio));
        let tolerance = if !scan.eat_plus_minus() && scan.eat(&["+"]) {
            Tolerance::one_sided(&mut scan, wanted)?
        } else {
            let found = scan.measure(wanted)?;
            if found.measure.value().is_sign_negative() {
                return Err(ValueError::new(found.figure_at, ValueErrorKind::NegativeTolerance));
            }
            if found.measure.dimension() == Dimension::Ratio {
                Tolerance::Share(found.measure)
            } else {
                if !dimensions.is_empty() {
                    found.expect(dimensions)?;
                }
                Tolerance::Amount {
                    plus: found.measure.clone(),
                    minus: found.measure,
                }
            }
        };
        scan.finish()?;
        match &tolerance {
            Tolerance::Amount { plus, .. } if !dimensions.is_empty() && !dimensions.contains(&plus.dimension()) => {
                let kind = ValueErrorKind::WrongDimension {
                    expected: dimensions.to_vec(),
                    found: plus.dimension(),
                    unit: plus.unit(),
                };
                Err(ValueError::new(Scan::new(text).remainder(), kind))
            }
            _ => Ok(tolerance),
        }
    }

    /// After the `+` of `+0.02/-0.01 mm`.
    fn one_sided(scan: &mut Scan<'_>, wanted: Option<Dimension>) -> Result<Tolerance, ValueError> {
        let (plus, plus_at) = scan.number()?;
        let plus_unit = scan.unit(wanted)?;
        scan.eat(&["/"]);
        scan.eat(&["-", "−"]);
        let (minus, minus_at) = scan.number()?;
        if minus.value().is_sign_negative() {
            return Err(ValueError::new(minus_at, ValueErrorKind::NegativeTolerance));
        }
        let Some((unit, _)) = scan.unit(wanted)?.or_else(|| plus_unit.clone()) else {
            return Err(ValueError::new(
                minus_at,
                ValueErrorKind::MissingUnit { expected: wanted },
            ));
        };
        let plus = Measure::new(plus, plus_unit.map_or(unit, |(unit, _)| unit));
        let minus = Measure::new(minus, unit);
        if plus.dimension() != minus.dimension() {
            let kind = ValueErrorKind::MixedDimensions {
                first: plus.dimension(),
                second: minus.dimension(),
            };
            return Err(ValueError::new(plus_at.start..minus_at.end, kind));
        }
        Ok(Tolerance::Amount { plus, minus })
    }

    /// The bounds this puts around a nominal figure, exact and in its unit: low, high. `None` if an amount measures something else
    /// or a figure leaves the range of decimals.
    pub fn around(&self, nominal: &Measure) -> Option<(Measure, Measure)> {
        let value = nominal.value();
        let (minus, plus) = match self {
            Tolerance::Share(share) => {
                let ratio = hundredths(share)?;
                let part = value.abs().checked_mul(ratio)?;
                (part, part)
            }
            Tolerance::Amount { plus, minus } => {
                let own = |part: &Measure| {
                    let value = part.unit().convert_difference(part.value(), nominal.unit())?;
                    Some(inward(value, part.unit() == nominal.unit()))
                };
                (own(minus)?, own(plus)?)
            }
        };
        // Zeros that the arithmetic added are dropped, those the author wrote are kept: 12 N·m ± 10 % is 10.8 to 13.2.
        let keep = nominal.figure().value().scale();
        let tidy = |bound: Decimal| {
            let mut bound = bound.normalize();
            if bound.scale() < keep {
                bound.rescale(keep);
            }
            Measure::new(Figure::computed(bound), nominal.unit())
        };
        Some((tidy(value.checked_sub(minus)?), tidy(value.checked_add(plus)?)))
    }

    /// The tolerance as a share of a nominal figure (0.1 for ± 10 %), the larger of the two ways. `None` as in
    /// [`around`](Self::around), or for a nominal of zero.
    pub fn share_of(&self, nominal: &Measure) -> Option<f64> {
        use rust_decimal::prelude::ToPrimitive;
        let share = match self {
            Tolerance::Share(share) => hundredths(share)?,
            Tolerance::Amount { plus, minus } => {
                let own = |part: &Measure| part.unit().convert_difference(part.value(), nominal.unit());
                own(plus)?
                    .abs()
                    .max(own(minus)?.abs())
                    .checked_div(nominal.value().abs())?
            }
        };
        share.to_f64()
    }
}

/// A share as a plain number: 10 % is 0.1.
fn hundredths(share: &Measure) -> Option<Decimal> {
    let hundred = Unit::find("%")?;
    share
        .unit()
        .convert(share.value(), hundred)?
        .checked_div(Decimal::ONE_HUNDRED)
}

/// A deviation with its sign, `towards` being that of a figure above zero.
fn signed(figure: &Figure, towards: char) -> String {
    let away = if towards == '+' { '−' } else { '+' };
    match figure.text().strip_prefix('-') {
        Some(text) => format!("{away}{text}"),
        None => format!("{towards}{figure}"),
    }
}

/// An amount in another unit, without the endless decimals of a division: three digits, rounded so that the bounds only get tighter.
/// One that is finite anyhow stays as it is.
fn inward(value: Decimal, same_unit: bool) -> Decimal {
    match same_unit || value.normalize().scale() <= 8 {
        true => value,
        false => round_to_digits(value, 3, Rounding::Down),
    }
}

impl fmt::Display for Tolerance {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Tolerance::Share(share) => write!(formatter, "± {share}"),
            Tolerance::Amount { plus, minus } if plus == minus => write!(formatter, "± {plus}"),
            Tolerance::Amount { plus, minus } if plus.unit() == minus.unit() => {
                let unit = minus.unit();
                let space = if unit.symbol() == "°" { "" } else { " " };
                let (plus, minus) = (signed(plus.figure(), '+'), signed(minus.figure(), '−'));
                write!(formatter, "{plus}/{minus}{space}{unit}")
            }
            Tolerance::Amount { plus, minus } => {
                let (above, below) = (signed(plus.figure(), '+'), signed(minus.figure(), '−'));
                write!(formatter, "{above} {}/{below} {}", plus.unit(), minus.unit())
            }
        }
    }
}
