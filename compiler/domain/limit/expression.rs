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
    /// `< 0.05 mm`.
    Below(Measure),
    /// `> 1.2 bar`.
    Above(Measure),
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

/// A deviation from a nominal: upward, downward, or without a sign.
struct Deviation {
    up: Option<bool>,
    part: Part,
}

/// Two deviations as how far above and how far below; a side is negative where both lie on the other.
fn amount(first: (Option<bool>, Measure), second: (Option<bool>, Measure)) -> Tolerance {
    let value = |(up, measure): &(Option<bool>, Measure)| match up {
        Some(false) => -measure.value(),
        _ => measure.value(),
    };
    // Nought takes the side that the other leaves it.
    let first_is_upper = match (first.0, second.0) {
        (Some(true), Some(false)) => true,
        (Some(false), Some(true)) => false,
        (Some(up), None) => up,
        (None, Some(up)) => !up,
        (None, None) => true,
        (Some(_), Some(_)) => {
            let second_value = second.1.unit().convert_difference(value(&second), first.1.unit());
            second_value.is_none_or(|second| value(&first) >= second)
        }
    };
    let (upper, lower) = if first_is_upper {
        (first, second)
    } else {
        (second, first)
    };
    let turned = |measure: Measure| {
        let figure = Figure::computed(-measure.value());
        Measure::new(figure, measure.unit())
    };
    Tolerance::Amount {
        plus: if upper.0 == Some(false) {
            turned(upper.1)
        } else {
            upper.1
        },
        minus: if lower.0 == Some(true) {
            turned(lower.1)
        } else {
            lower.1
        },
    }
}

/// A measure and where its figure stands.
type Placed = (Measure, Range<usize>);

struct Reader<'s, 'a> {
    scan: &'s mut Scan<'a>,
    dimensions: &'s [Dimension],
}

impl Reader<'_, '_> {
    fn expression(&mut self) -> Result<Expression, ValueError> {
        if self.scan.eat_shortened(&AT_MOST)? || self.scan.eat(&["≤", "<="]) {
            return self.measure().map(Expression::AtMost);
        }
        if self.scan.eat_shortened(&AT_LEAST)? || self.scan.eat(&["≥", ">="]) {
            return self.measure().map(Expression::AtLeast);
        }
        if self.scan.eat(&["<"]) {
            return self.measure().map(Expression::Below);
        }
        if self.scan.eat(&[">"]) {
            return self.measure().map(Expression::Above);
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
        Ok(if self.scan.eat_shortened(&AT_MOST)? {
            Expression::AtMost(measure)
        } else if self.scan.eat_shortened(&AT_LEAST)? {
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

    /// Two deviations after the nominal, in either order: `+0.02/-0.01 mm`, `0/-0.02`, `+0.05/+0.02`, `-0.1/-0.2`; `None`, and
    /// nothing read, if that isn't what follows.
    fn deviations(&mut self, nominal: &Part) -> Result<Option<Expression>, ValueError> {
        let start = self.scan.clone();
        let Ok(Some(first)) = self.deviation() else {
            *self.scan = start;
            return Ok(None);
        };
        let slash = self.scan.eat(&["/"]);
        // Without a stroke between them only signs tell two deviations from a range.
        let signed = ["+", "-", "−"]
            .iter()
            .any(|sign| self.scan.rest().trim_start().starts_with(sign));
        let opposite = first.up == Some(true) && signed || first.up == Some(false) && self.scan.clone().eat(&["+"]);
        if !(slash || opposite) {
            *self.scan = start;
            return Ok(None);
        }
        let Some(second) = self.deviation()? else {
            *self.scan = start;
            return Ok(None);
        };
        let unit = second
            .part
            .unit
            .clone()
            .or_else(|| first.part.unit.clone())
            .or_else(|| nominal.unit.clone());
        let nominal_part = Part {
            figure: nominal.figure.clone(),
            figure_at: nominal.figure_at.clone(),
            unit: nominal.unit.clone(),
        };
        let nominal_at = nominal.figure_at.clone();
        let whole = self.with_unit(nominal_part, unit.clone())?;
        let mut ends = Vec::new();
        for deviation in [first, second] {
            // A deviation without its sign must be nought: anything else could be meant either way.
            if deviation.part.figure.value().is_sign_negative()
                || (deviation.up.is_none() && !deviation.part.figure.value().is_zero())
            {
                return Err(ValueError::new(
                    deviation.part.figure_at,
                    ValueErrorKind::NegativeTolerance,
                ));
            }
            let measure = self.with_unit(deviation.part, unit.clone())?;
            same_dimension(&whole, &measure, nominal_at.clone())?;
            ends.push((deviation.up, measure));
        }
        let (Some((second_up, second)), Some((first_up, first))) = (ends.pop(), ends.pop()) else {
            return Ok(None);
        };
        Ok(Some(Expression::Around(
            whole,
            amount((first_up, first), (second_up, second)),
        )))
    }

    /// A sign and a part; no sign is `None`, and does for nought alone.
    fn deviation(&mut self) -> Result<Option<Deviation>, ValueError> {
        let up = if self.scan.eat(&["+"]) {
            Some(true)
        } else if self.scan.eat(&["-", "−"]) {
            Some(false)
        } else {
            None
        };
        if !self
            .scan
            .rest()
            .trim_start()
            .starts_with(|next: char| next.is_ascii_digit() || next == '.')
        {
            return Ok(None);
        }
        let part = self.part()?;
        Ok(Some(Deviation { up, part }))
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
        let digits = word.trim_start_matches(|letter: char| letter.is_ascii_alphabetic());
        let shaped = (1..=2).contains(&(word.len() - digits.len()))
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
