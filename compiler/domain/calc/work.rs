//! An expression and readings in; figures out, exact wherever a decimal can be.

use super::heat::temperatures;
use super::parse::{Function, Node, NodeKind, Operator};
use super::shape::{Powers, coherent};
use super::value::{Scale, Value};
use crate::quantity::{Figure, Measure};
use rust_decimal::Decimal;

/// Why an expression has no result.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stuck {
    /// A reading isn't there.
    Missing,
    /// Something is divided by nought.
    DividedByZero,
    /// No size of the list will do.
    NoSize,
    /// A figure is too large or too small to hold.
    OutOfRange,
}

impl Stuck {
    /// A sentence's end, after "can't be worked out: ".
    pub fn words(self) -> &'static str {
        match self {
            Stuck::Missing => "a reading is missing",
            Stuck::DividedByZero => "its readings divide by nought",
            Stuck::NoSize => "no size of its list will do",
            Stuck::OutOfRange => "a figure gets out of range",
        }
    }
}

/// Works out an expression, exactly. `of` gives the readings of a measurement by id; `None` where one is missing.
///
/// # Errors
/// If there is no result. What can't be worked out because it makes no sense has had its finding from [`shape_of`](super::shape_of).
pub fn work_out(node: &Node, of: &dyn Fn(&str) -> Option<Value>) -> Result<Value, Stuck> {
    match &node.kind {
        NodeKind::Name(name) => of(name).ok_or(Stuck::Missing),
        NodeKind::Number(figure) => Ok(Value::one(figure.value(), Scale::Plain)),
        NodeKind::Measure(measure) => Value::literal(measure).ok_or(Stuck::OutOfRange),
        NodeKind::Binary(operator, left, right) => {
            let (left, right) = (work_out(left, of)?, work_out(right, of)?);
            if *operator == Operator::Over && right.figures.iter().any(Decimal::is_zero) {
                return Err(Stuck::DividedByZero);
            }
            binary(*operator, &left, &right).ok_or(Stuck::OutOfRange)
        }
        NodeKind::Call(function, values) => {
            let values = values.iter().map(|v| work_out(v, of)).collect::<Result<Vec<_>, _>>()?;
            call(*function, &values).ok_or(Stuck::OutOfRange)
        }
        NodeKind::Choose(pick, wanted, sizes) => {
            let wanted = work_out(wanted, of)?;
            let unit = sizes.all().first().ok_or(Stuck::NoSize)?.unit();
            let size = |figure: Decimal| {
                let wanted = Measure::new(Figure::computed(figure), unit);
                sizes.pick(*pick, &wanted).map(Measure::value).ok_or(Stuck::NoSize)
            };
            let figures = wanted.exact(unit).ok_or(Stuck::OutOfRange)?;
            let figures = figures.into_iter().map(size).collect::<Result<Vec<_>, _>>()?;
            Ok(Value {
                figures,
                scale: Scale::Unit(unit),
                ..wanted
            })
        }
        NodeKind::Heat(size, growth, material, start) => {
            let (size, growth, start) = (work_out(size, of)?, work_out(growth, of)?, work_out(start, of)?);
            if size.figures.iter().any(Decimal::is_zero) {
                return Err(Stuck::DividedByZero);
            }
            temperatures(&size, &growth, *material, &start).ok_or(Stuck::OutOfRange)
        }
    }
}

fn binary(operator: Operator, left: &Value, right: &Value) -> Option<Value> {
    match operator {
        // A rise and a temperature: reckoned on the scale of the temperature.
        Operator::Plus if right.point && !left.point => binary(operator, right, left),
        Operator::Plus | Operator::Minus => {
            let right = right.on(left.scale)?;
            let act = if operator == Operator::Plus {
                Decimal::checked_add
            } else {
                Decimal::checked_sub
            };
            let point = match operator {
                Operator::Minus => left.point && !right.point,
                _ => left.point || right.point,
            };
            Some(Value {
                point,
                ..each(left, &right, left.scale, act)?
            })
        }
        Operator::Times => match (left.scale, right.scale) {
            (scale, Scale::Plain) | (Scale::Plain, scale) => each(left, right, scale, Decimal::checked_mul),
            _ => product(left, right, left.powers().times(right.powers()), Decimal::checked_mul),
        },
        Operator::Over => {
            if right.scale == Scale::Plain {
                return each(left, right, left.scale, Decimal::checked_div);
            }
            match right.on(left.scale) {
                Some(right) => each(left, &right, Scale::Plain, Decimal::checked_div),
                None => product(left, right, left.powers().over(right.powers()), Decimal::checked_div),
            }
        }
    }
}

type Act = fn(Decimal, Decimal) -> Option<Decimal>;

fn product(left: &Value, right: &Value, powers: Powers, act: Act) -> Option<Value> {
    let scale = match powers.dimension() {
        Some(dimension) => coherent(dimension).map_or(Scale::Plain, Scale::Unit),
        None => Scale::Si(powers),
    };
    each(&left.in_si()?, &right.in_si()?, scale, act)
}

/// Figure by figure; one figure goes with each of a list.
fn each(left: &Value, right: &Value, scale: Scale, act: Act) -> Option<Value> {
    let longer = if right.figures.len() > left.figures.len() {
        right
    } else {
        left
    };
    let at = |value: &Value, n: usize| value.figures.get(n).or_else(|| value.figures.first()).copied();
    let one = |n: usize| act(at(left, n)?, at(right, n)?);
    let figures = (0..longer.figures.len()).map(one).collect::<Option<Vec<_>>>()?;
    Some(Value {
        figures,
        columns: longer.columns,
        scale,
        point: false,
    })
}

fn call(function: Function, values: &[Value]) -> Option<Value> {
    let first = values.first()?;
    let one = |figure: Decimal| Value {
        figures: vec![figure],
        columns: 1,
        ..first.clone()
    };
    let all = || -> Option<Vec<Decimal>> {
        let same = values.iter().map(|v| v.on(first.scale)).collect::<Option<Vec<_>>>()?;
        Some(same.into_iter().flat_map(|v| v.figures).collect())
    };
    let difference = |figure: Decimal| Value {
        point: false,
        ..one(figure)
    };
    Some(match function {
        Function::Min => one(all()?.into_iter().min()?),
        Function::Max => one(all()?.into_iter().max()?),
        Function::Mean => {
            let all = all()?;
            let sum = all.iter().try_fold(Decimal::ZERO, |sum, f| sum.checked_add(*f))?;
            one(sum.checked_div(Decimal::from(all.len()))?)
        }
        Function::Abs => Value {
            figures: first.figures.iter().map(Decimal::abs).collect(),
            ..first.clone()
        },
        Function::Spread => difference(spread(&all()?)?),
        Function::OutOfRound => difference(widest(first.figures.chunks(first.columns))?),
        Function::Taper => {
            let column = |c: usize| first.figures.iter().skip(c).step_by(first.columns).copied().collect();
            let columns: Vec<Vec<Decimal>> = (0..first.columns).map(column).collect();
            difference(widest(columns.iter().map(Vec::as_slice))?)
        }
        Function::Clearance => {
            let shaft = values.get(1)?.on(first.scale)?;
            let (low, high) = (shaft.figures.iter().min()?, shaft.figures.iter().max()?);
            let tightest = first.figures.iter().min()?.checked_sub(*high)?;
            let loosest = first.figures.iter().max()?.checked_sub(*low)?;
            let two = first.figures.len() + shaft.figures.len() > 2;
            Value {
                figures: if two { vec![tightest, loosest] } else { vec![tightest] },
                columns: if two { 2 } else { 1 },
                point: false,
                ..first.clone()
            }
        }
        Function::Shim => {
            let sum = binary(Operator::Plus, first, values.get(1)?)?;
            binary(Operator::Minus, &sum, values.get(2)?)?
        }
        Function::EndGap => binary(Operator::Times, first, values.get(1)?)?,
    })
}

fn spread(figures: &[Decimal]) -> Option<Decimal> {
    figures.iter().max()?.checked_sub(*figures.iter().min()?)
}

fn widest<'a>(lines: impl Iterator<Item = &'a [Decimal]>) -> Option<Decimal> {
    lines.map(spread).collect::<Option<Vec<_>>>()?.into_iter().max()
}
