//! Answers to a question at the bench, with their working: what a torque comes to in a bolt, what a figure is in another unit.
//! Everything about preload is an estimate and says so.

mod torque;

pub use torque::{TorqueQuestion, past_any_bolt, stages, torque_for};

use crate::domain::limit::Limit;
use crate::domain::quantity::{Measure, Rounding, Unit, ValueError, ValueErrorKind};

/// A figure or a limit in another unit, or in every unit of its dimension, with the exact value beside the rounded one. Nothing for a
/// unit that is the only one of its dimension.
///
/// # Errors
/// If the text or the unit can't be read, or they measure different things.
pub fn convert(text: &str, to: Option<&str>) -> Result<Vec<String>, ValueError> {
    let measure = match Measure::parse(text) {
        Ok(measure) => measure,
        Err(error) => {
            // What is wrong with the figure, or with a limit, is told as such, unless it is no limit at all.
            let limit = Limit::parse(text).map_err(|found| match found.kind {
                ValueErrorKind::NoLimit => error,
                _ => found,
            })?;
            return answered(convert_limit(&limit, to)?, text);
        }
    };
    let mut lines = Vec::new();
    let targets = targets(measure.unit(), to)?;
    if targets.is_empty() {
        return Ok(lines);
    }
    for unit in targets {
        let (Some(rounded), Some(exact)) = (
            measure.in_unit(unit, Rounding::Nearest),
            measure.unit().convert(measure.value(), unit),
        ) else {
            continue;
        };
        let exact = exact.normalize();
        let note = if exact == rounded.value() {
            "exact".to_string()
        } else {
            format!("exact {exact}")
        };
        lines.push(format!("{measure} = {rounded}   ({note})"));
    }
    answered(lines, text)
}

/// The lines of an answer; none would look like one.
fn answered(lines: Vec<String>, text: &str) -> Result<Vec<String>, ValueError> {
    let found = || ValueErrorKind::NumberOutOfRange {
        found: text.trim().to_string(),
    };
    match lines.is_empty() {
        true => Err(ValueError::new(0..text.len(), found())),
        false => Ok(lines),
    }
}

fn convert_limit(limit: &Limit, to: Option<&str>) -> Result<Vec<String>, ValueError> {
    let line = |unit| Some(format!("{limit} = {}   (rounded inward)", limit.in_unit(unit)?));
    Ok(targets(limit.unit(), to)?.into_iter().filter_map(line).collect())
}

/// The unit asked for, or every other one of the dimension.
fn targets(from: Unit, to: Option<&str>) -> Result<Vec<Unit>, ValueError> {
    let Some(name) = to else {
        return Ok(Unit::of(from.dimension()).filter(|u| *u != from).collect());
    };
    // Read as a quantity, so that a wrong unit gets the same words as in a procedure.
    let one = format!("1 {name}");
    let measure = Measure::parse_any_of(&one, &[from.dimension()]).map_err(|mut error| {
        error.at = error.at.start.saturating_sub(2)..error.at.end.saturating_sub(2);
        error
    })?;
    Ok(vec![measure.unit()])
}
