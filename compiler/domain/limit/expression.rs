//! The grammar that limits, ranges and torques share.

use std::ops::Range;

use super::{Interval, Tolerance};
use crate::quantity::{Dimension, Figure, Measure, Scan, Unit, ValueError, ValueErrorKind};

/// What a value turned out to be, before its reader decides whether that will do.
#[derive(Clone, Debug)]
pub(crate) enum Expression {
    /// `12 N·m`.
    Exact(Measure),
    /// `20..24 N·m`.
    Range(Interval),
    /// `12 N·m ± 10 %`, `12 ± 2 N·m`, `10 +0.02/-0.01 mm`.
    Around(Measure, Tolerance),
    /// `max 0.05 mm`.
    AtMost(Measure),
    /// `min 1.2 bar`.
    AtLeast(Measure),
    /// `30 H7`: the nominal size, its unit if written, the tolerance class and where both stand.
    Class {
        size: Figure,
        unit: Option<Unit>,
        class: String,
        at: Range<usize>,
    },
}

const AT_MOST: [&str; 2] = ["max", "maximum"];
const AT_LEAST: [&str; 2] = ["min", "minimum"];

impl Expression {
    /// Reads a whole text; `dimensions` lists what will do, none meaning anything.
    pub(crate) fn parse(text: &str, dimensions: &[Dimension]) -> Result<Expression, ValueError> {
        let mut scan = Scan::new(text);
        if scan.at_end() {
            return Err(ValueError::new(scan.remainder(), ValueErrorKind::Empty));
        }
        let expression = Reader {
            scan: &mut scan,
            dimensions,
        }
        .expression()?;
        scan.finish()?;
        Ok(expression)
    }
}

/// A figure, the unit after it if there is one, and where both stand.
struct Part {
    figure: Figure,
    figure_at: Range<usize>,
    unit: Option<(Unit, Range<usize>)>,
}

/// A measure and where its figure stands.
type Placed = (Measure, Range<usize>);

struct Reader<'s, 'a> {
    scan: &'s mut Scan<'a>,
    dimensions: &'s [Dimension],
}

impl Reader<'_, '_> {
    fn expression(&mut self) -> Result<Expression, ValueError> {
        if self.scan.eat_word(&AT_MOST) || self.scan.eat(&["≤", "<="]) {
            return self.measure().map(Expression::AtMost);
        }
        if self.scan.eat_word(&AT_LEAST) || self.scan.eat(&["≥", ">="]) {
            return self.measure().map(Expression::AtLeast);
        }
        self.scan.eat(&["Ø", "⌀", "ø"]);
        let (figure, figure_at) = self.scan.number()?;
        if let Some((class, class_at)) = self.class() {
            return Ok(Expression::Class {
                size: figure,
                unit: None,
                class,
                at: figure_at.start..class_at.end,
            });
        }
        let unit = self.unit()?;
        let first = Part {
            figure,
            figure_at,
            unit,
        };
        if let Some((class, class_at)) = self.class() {
            let unit = first.unit.map(|(unit, _)| unit);
            return Ok(Expression::Class {
                size: first.figure,
                unit,
                class,
                at: first.figure_at.start..class_at.end,
            });
        }
        if self.scan.eat_plus_minus() {
            return self.both_ways(first);
        }
        if let Some(expression) = self.deviations(&first)? {
            return Ok(expression);
        }
        if self.scan.eat_range() {
            let second = self.part()?;
            let (low, high) = self.share_unit(first, second)?;
            return Interval::checked(low.0, high.0, low.1.start..high.1.end).map(Expression::Range);
        }
        let measure = self.with_unit(first, None)?;
        Ok(if self.scan.eat_word(&AT_MOST) {
            Expression::AtMost(measure)
        } else if self.scan.eat_word(&AT_LEAST) {
            Expression::AtLeast(measure)
        } else {
            Expression::Exact(measure)
        })
    }

    /// After `±`: a share in per cent, or an amount of the same dimension.
    fn both_ways(&mut self, nominal: Part) -> Result<Expression, ValueError> {
        let tolerance = self.part()?;
        if tolerance.figure.value().is_sign_negative() {
            return Err(ValueError::new(tolerance.figure_at, ValueErrorKind::NegativeTolerance));
        }
        if let Some((unit, _)) = &tolerance.unit
            && unit.dimension() == Dimension::Ratio
            && (nominal.unit.is_some() || !self.dimensions.contains(&Dimension::Ratio))
        {
            let share = Measure::new(tolerance.figure, *unit);
            let nominal = self.with_unit(nominal, None)?;
            return Ok(Expression::Around(nominal, Tolerance::Share(share)));
        }
        let ((nominal, _), (tolerance, _)) = self.share_unit(nominal, tolerance)?;
        Ok(Expression::Around(
            nominal,
            Tolerance::Amount {
                plus: tolerance.clone(),
                minus: tolerance,
            },
        ))
    }

    /// `+0.02/-0.01 mm` or `-0.01/+0.02 mm` after the nominal; `None`, and nothing read, if that isn't what follows.
    fn deviations(&mut self, nominal: &Part) -> Result<Option<Expression>, ValueError> {
        let start = self.scan.clone();
        let upward = self.scan.eat(&["+"]);
        if !upward && !self.scan.eat(&["-", "−"]) {
            return Ok(None);
        }
        let Ok(first) = self.part() else {
            *self.scan = start;
            return Ok(None);
        };
        let slash = self.scan.eat(&["/"]);
        let signed = self.scan.eat(if upward { &["-", "−"] } else { &["+"] });
        if !signed && !slash {
            *self.scan = start;
            return Ok(None);
        }
        let second = self.part()?;
        // A deviation without its sign must be nought: anything else could be meant either way.
        if second.figure.value().is_sign_negative() || (!signed && !second.figure.value().is_zero()) {
            return Err(ValueError::new(second.figure_at, ValueErrorKind::NegativeTolerance));
        }
        let unit = second
            .unit
            .clone()
            .or_else(|| first.unit.clone())
            .or_else(|| nominal.unit.clone());
        let nominal_part = Part {
            figure: nominal.figure.clone(),
            figure_at: nominal.figure_at.clone(),
            unit: nominal.unit.clone(),
        };
        let nominal_at = nominal.figure_at.clone();
        let whole = self.with_unit(nominal_part, unit.clone())?;
        let first = self.with_unit(first, unit.clone())?;
        let second = self.with_unit(second, unit)?;
        for deviation in [&first, &second] {
            same_dimension(&whole, deviation, nominal_at.clone())?;
        }
        let (plus, minus) = if upward { (first, second) } else { (second, first) };
        Ok(Some(Expression::Around(whole, Tolerance::Amount { plus, minus })))
    }

    fn measure(&mut self) -> Result<Measure, ValueError> {
        let part = self.part()?;
        self.with_unit(part, None)
    }

    fn part(&mut self) -> Result<Part, ValueError> {
        let (figure, figure_at) = self.scan.number()?;
        let unit = self.unit()?;
        Ok(Part {
            figure,
            figure_at,
            unit,
        })
    }

    fn unit(&mut self) -> Result<Option<(Unit, Range<usize>)>, ValueError> {
        let mut ahead = self.scan.clone();
        // `max` and `min` may stand behind the value; only the first can't be taken for a unit.
        if ahead.eat_word(&AT_MOST) {
            return Ok(None);
        }
        self.scan.unit(self.dimensions.first().copied())
    }

    /// A tolerance class: one or two letters and a number, if that isn't a unit (`m3`).
    fn class(&mut self) -> Option<(String, Range<usize>)> {
        let (word, at) = self.scan.word();
        let letters = word.find(|letter: char| !letter.is_ascii_alphabetic())?;
        let digits = &word[letters..];
        let shaped = (1..=2).contains(&letters)
            && (1..=2).contains(&digits.len())
            && digits.bytes().all(|byte| byte.is_ascii_digit());
        if !shaped || Unit::find(&word).is_some() {
            return None;
        }
        self.scan.eat(&[word.as_str()]);
        Some((word, at))
    }

    /// The part with its own unit, or the given one, or a fault that it has none.
    fn with_unit(&self, part: Part, fallback: Option<(Unit, Range<usize>)>) -> Result<Measure, ValueError> {
        let Some((unit, unit_at)) = part.unit.or(fallback) else {
            return Err(ValueError::new(
                part.figure_at,
                ValueErrorKind::MissingUnit {
                    expected: self.dimensions.first().copied(),
                },
            ));
        };
        if self.dimensions.is_empty() || self.dimensions.contains(&unit.dimension()) {
            return Ok(Measure::new(part.figure, unit));
        }
        let expected = self.dimensions.to_vec();
        Err(ValueError::new(
            unit_at,
            ValueErrorKind::WrongDimension {
                expected,
                found: unit.dimension(),
                unit,
            },
        ))
    }

    /// Two parts of which either may carry the unit for both.
    fn share_unit(&self, first: Part, second: Part) -> Result<(Placed, Placed), ValueError> {
        let (first_at, second_at) = (first.figure_at.clone(), second.figure_at.clone());
        let (first_unit, second_unit) = (first.unit.clone(), second.unit.clone());
        let first = self.with_unit(first, second_unit)?;
        let second = self.with_unit(second, first_unit)?;
        same_dimension(&first, &second, first_at.start..second_at.end)?;
        Ok(((first, first_at), (second, second_at)))
    }
}

fn same_dimension(first: &Measure, second: &Measure, at: Range<usize>) -> Result<(), ValueError> {
    let (first, second) = (first.dimension(), second.dimension());
    if first == second {
        Ok(())
    } else {
        Err(ValueError::new(at, ValueErrorKind::MixedDimensions { first, second }))
    }
}
