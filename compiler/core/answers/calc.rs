//! An expression with figures in it, worked out: what a calculation of a procedure does, without readings.

use super::figures::line;
use crate::domain::calc::{CalcError, CalcErrorKind, Scale, Stuck, parse, shape_of, work_out};
use crate::domain::limit::{Bounds, Limit};
use crate::domain::quantity::{Dimension, Measure, Rounding, Unit, ValueErrorKind, round_to_digits};
use crate::words::formula;

/// Works out `82.00 mm - 50.75 mm`, `10 N·m * 3000 rpm`, `max(1 in, 25 mm)`, in a unit or in the one it comes out in.
///
/// # Errors
/// One or two sentences: what can't be read, what doesn't go together, or a unit of something else.
pub fn calc(text: &str, unit: Option<&str>) -> Result<Vec<String>, String> {
    let node = parse(text).map_err(|error| format!("in `{text}`: {}; {}", error.message(), error.help()))?;
    let value = work_out(&node, &|_| None);
    let unit = match unit {
        Some(name) => {
            let one = format!("1 {name}");
            Some(
                Measure::parse(&one)
                    .map_err(|error| format!("in `{name}`: {}; {}", error.message(), error.help()))?
                    .unit(),
            )
        }
        None => value.as_ref().ok().and_then(|value| match value.scale {
            Scale::Unit(unit) => Some(unit),
            Scale::Plain | Scale::Si(_) => None,
        }),
    };
    let wanted = unit.map_or(Dimension::Ratio, Unit::dimension);
    let (_, faults) = shape_of(&node, &|_| None, wanted);
    // What comes out is judged where a unit was asked for; a name has no readings here.
    let counts = |fault: &&CalcError| unit.is_some() || !matches!(fault.kind, CalcErrorKind::Result(..));
    if let Some(fault) = faults.iter().find(counts) {
        return Err(match &fault.kind {
            CalcErrorKind::UnknownName(name) => {
                format!(
                    "in `{text}`: `{name}` is no figure; write figures with their units, and names in a procedure's `calc:`"
                )
            }
            CalcErrorKind::Result(found, wanted) => {
                format!("in `{text}`: this gives {found}, not {wanted}; ask for another unit")
            }
            _ => format!("in `{text}`: {}; {}", fault.message(), fault.help()),
        });
    }
    let value = value.map_err(|stuck| match stuck {
        Stuck::DividedByZero => format!("`{text}` can't be worked out: it divides by nought"),
        _ => format!("`{text}` can't be worked out: {}", stuck.words()),
    })?;
    let plain = unit
        .or_else(|| Unit::find("%"))
        .filter(|_| unit.is_some() || value.scale == Scale::Plain);
    let plain = plain.ok_or_else(|| format!("`{text}` comes out in no unit that has a name; ask for one behind it"))?;
    let figures = value
        .exact(plain)
        .ok_or_else(|| format!("`{text}` can't be given in {plain}"))?;
    // A plain number is given as such.
    let shown = figures.into_iter().map(|figure| match unit {
        Some(unit) => format!("{} {unit}", round_to_digits(figure, 7, Rounding::Nearest).normalize()),
        None => round_to_digits(figure / rust_decimal::Decimal::ONE_HUNDRED, 7, Rounding::Nearest)
            .normalize()
            .to_string(),
    });
    let shown: Vec<String> = shown.collect();
    Ok(vec![
        line("result", shown.join(", ")),
        line("working", formula::words(&node, &|name| name.into()).english()),
    ])
}

/// A difference of temperatures, or of anything else, or a limit of one, in another unit: without the offset of its scale.
///
/// # Errors
/// As above.
pub fn difference(text: &str, unit: &str) -> Result<Vec<String>, String> {
    let fault = |text: &str, error: crate::domain::quantity::ValueError| {
        format!("in `{text}`: {}; {}", error.message(), error.help())
    };
    let one = format!("1 {unit}");
    let to = of_differences(Measure::parse(&one).map_err(|error| fault(unit, error))?.unit());
    let unlike = |from: Unit| {
        format!(
            "`{text}` can't be given in {to}: one is a {}, the other a {}",
            from.dimension(),
            to.dimension()
        )
    };
    let bare = text.trim_start_matches(['±', ' ']);
    let measure = match Measure::parse(bare) {
        Ok(measure) => measure,
        // What is wrong with the figure, or with a limit, is told as such, unless it is no limit at all.
        Err(error) => {
            let limit = Limit::parse(bare).map_err(|found| match found.kind {
                ValueErrorKind::NoLimit => fault(text, error),
                _ => fault(text, found),
            })?;
            let bounds = bounds_of_differences(limit.bounds()).and_then(|bounds| bounds.in_unit(to));
            let bounds = bounds.ok_or_else(|| unlike(of_differences(limit.unit())))?;
            return Ok(vec![format!("a difference of {limit} = {bounds}   (rounded inward)")]);
        }
    };
    let from = of_differences(measure.unit());
    let exact = from.convert_difference(measure.value(), to);
    let exact = exact.ok_or_else(|| unlike(from))?;
    let shown = round_to_digits(exact, 7, Rounding::Nearest).normalize();
    Ok(vec![format!("a difference of {measure} = {shown} {to}")])
}

/// A temperature in kelvins on another scale: everywhere else a kelvin is a difference.
///
/// # Errors
/// If it isn't a figure in kelvins, lies below absolute zero, or the unit is none of temperature.
pub fn temperature(text: &str, unit: &str) -> Result<Vec<String>, String> {
    let words = |text: &str, error: crate::domain::quantity::ValueError| {
        format!("in `{text}`: {}; {}", error.message(), error.help())
    };
    let measure =
        Measure::parse_any_of(text, &[Dimension::TemperatureDifference]).map_err(|error| words(text, error))?;
    let one = format!("1 {unit}");
    let to = Measure::parse_any_of(&one, &[Dimension::Temperature])
        .map_err(|error| words(unit, error))?
        .unit();
    let found = || {
        let kelvin = Unit::find("K")?;
        let celsius = Unit::find("°C")?;
        let above = measure.unit().convert_difference(measure.value(), kelvin)?;
        let above = Some(above).filter(|above| !above.is_sign_negative())?;
        celsius.convert(above.checked_sub(ABSOLUTE_ZERO)?, to)
    };
    let exact = found().ok_or_else(|| format!("`{text}` is no temperature: nothing is colder than 0 K"))?;
    let shown = round_to_digits(exact, 7, Rounding::Nearest).normalize();
    Ok(vec![format!("a temperature of {measure} = {shown} {to}")])
}

/// Degrees Celsius below nought, exact by definition (ITS-90).
const ABSOLUTE_ZERO: rust_decimal::Decimal = rust_decimal::Decimal::from_parts(27_315, 0, 0, false, 2);

/// Bounds whose figures are differences, whatever scale they were written on.
fn bounds_of_differences(bounds: &Bounds) -> Option<Bounds> {
    let one = |bound: &Option<Measure>| match bound {
        Some(bound) => Measure::parse(&format!("{} {}", bound.figure(), of_differences(bound.unit())))
            .ok()
            .map(Some),
        None => Some(None),
    };
    Some(Bounds {
        low: one(&bounds.low)?,
        high: one(&bounds.high)?,
        open: bounds.open,
    })
}

/// The unit of differences that a scale of temperature counts in.
fn of_differences(unit: Unit) -> Unit {
    let other = match unit.symbol() {
        "°C" => Unit::find("K"),
        "°F" => Unit::find("Δ°F"),
        _ => None,
    };
    other.unwrap_or(unit)
}
