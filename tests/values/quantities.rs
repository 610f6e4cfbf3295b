//! Units, rounding, limits, fits and durations.

use benchleaf_domain::fit::{Fit, FitPair};
use benchleaf_domain::limit::Limit;
use benchleaf_domain::quantity::{Measure, Rounding, ValueErrorKind, round_to_digits, round_to_places};
use benchleaf_domain::timer::Duration;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::Outcome;
use super::row::{Row, ends, number, same, unit};

fn float(value: Decimal) -> Result<f64, String> {
    value.to_f64().ok_or_else(|| format!("{value} is not a float"))
}

fn difference(row: &Row, figure: &str) -> Outcome {
    let measure = Measure::parse(figure).map_err(|error| error.to_string())?;
    let to = unit(row.unit.trim_end_matches(" difference"))?;
    let found = measure
        .unit()
        .convert_difference(measure.value(), to)
        .ok_or("not convertible")?;
    row.equals(float(found)?, &row.expected)
}

fn value(row: &Row, figure: &str) -> Outcome {
    let measure = Measure::parse(figure).map_err(|error| error.to_string())?;
    let found = measure
        .unit()
        .convert(measure.value(), unit(&row.unit)?)
        .ok_or("not convertible")?;
    if row.tolerance.starts_with("exact") {
        row.equals(float(found)?, &row.expected)
    } else {
        row.near(float(found)?)
    }
}

pub fn unit_conversion(row: &Row) -> Outcome {
    let inputs = row.plain_inputs();
    if let Some(figure) = inputs.strip_prefix("temperature difference of ") {
        return difference(row, figure);
    }
    value(row, inputs.split(" in ").next().unwrap_or_default())
}

pub fn rounding(row: &Row) -> Outcome {
    let (inputs, target) = row.inputs.rsplit_once(" to ").ok_or("no target")?;
    // `… minus one in the last place (6.9749514)`: the figure is in the brackets.
    let figure = inputs
        .split_once('(')
        .map_or(inputs, |(_, figure)| figure.trim_end_matches(')'));
    let value = Decimal::from_str_exact(figure.trim()).map_err(|error| error.to_string())?;
    let count: u32 = target
        .split(' ')
        .next()
        .unwrap_or_default()
        .parse()
        .map_err(|_| "no count")?;
    let rounded = match target.ends_with("digits") {
        true => round_to_digits(value, count, Rounding::Nearest),
        false => round_to_places(value, count, Rounding::Nearest),
    };
    same(rounded.to_string(), row.expected.clone())
}

pub fn converted_limit(row: &Row) -> Outcome {
    let (limit, step) = row.inputs.rsplit_once(" to ").ok_or("no step")?;
    let limit = Limit::parse(limit).map_err(|error| error.to_string())?;
    let step = Measure::parse(step).map_err(|error| error.to_string())?;
    let bounds = limit
        .bounds()
        .in_unit_to_place(unit(&row.unit)?, step.figure().place())
        .ok_or("nothing left")?;
    let text = |bound: &Option<Measure>| bound.as_ref().map(|bound| bound.figure().to_string());
    let found: Vec<String> = [text(&bounds.low), text(&bounds.high)].into_iter().flatten().collect();
    same(found.join(" to "), row.expected.clone())
}

pub fn fit(row: &Row) -> Outcome {
    let fit = Fit::parse(row.plain_inputs()).map_err(|error| error.to_string())?;
    let (lower, upper) = row.expected.split_once(';').ok_or("no pair")?;
    row.equals(float(fit.deviations().lower)?, lower)?;
    row.equals(float(fit.deviations().upper)?, upper)
}

pub fn fit_pair(row: &Row) -> Outcome {
    let pair = FitPair::parse(&row.inputs).map_err(|error| error.to_string())?;
    let expected = row.expected.strip_prefix("clearance ").ok_or("no clearance")?;
    // `clearance 9 to 50` or `clearance 19 to interference 15`.
    let (least, greatest) = match expected.split_once(" to interference ") {
        Some((clearance, interference)) => (-number(interference)?, number(clearance)?),
        None => ends(expected)?,
    };
    same(float(pair.least_clearance().figure().value())?, least)?;
    same(float(pair.greatest_clearance().figure().value())?, greatest)
}

pub fn duration(row: &Row) -> Outcome {
    let read = Duration::parse(row.plain_inputs());
    if row.unit == "rule" {
        return match read.map_err(|error| error.kind) {
            Err(ValueErrorKind::BadDuration { .. }) => Ok(()),
            other => Err(format!("not refused as a duration: {other:?}")),
        };
    }
    let seconds = read.map_err(|error| error.to_string())?.seconds();
    row.equals(float(seconds)?, &row.expected)
}
