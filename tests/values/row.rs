//! A row of the file, and how its texts are read and compared.

use benchleaf_domain::quantity::{Kind, Measure, Unit};
use serde::Deserialize;

use super::Outcome;

/// A row of `check-values.csv`.
#[derive(Debug, Deserialize)]
pub struct Row {
    pub id: String,
    pub topic: String,
    pub inputs: String,
    pub expected: String,
    pub unit: String,
    pub tolerance: String,
    pub source: String,
}

/// Every row, in file order.
pub fn all() -> Vec<Row> {
    let text = include_str!("check-values.csv");
    csv::Reader::from_reader(text.as_bytes())
        .into_deserialize()
        .map(|row| row.expect("a row of the file"))
        .collect()
}

impl Row {
    /// The inputs without a remark in brackets at the end.
    pub fn plain_inputs(&self) -> &str {
        self.inputs.split(" (").next().unwrap_or_default().trim()
    }

    /// Compares a figure with `expected` by the row's own tolerance.
    pub fn near(&self, found: f64) -> Outcome {
        self.near_text(found, &self.expected)
    }

    /// Compares a figure with an expected one by the row's own tolerance: `1e-12 relative`, `0.6 %`, `printed digits`, `0.01`, `exact`.
    pub fn near_text(&self, found: f64, expected: &str) -> Outcome {
        let wanted = number(expected)?;
        let tolerance = self.tolerance.split(';').next().unwrap_or_default().trim();
        let slack = if let Some(relative) = tolerance.strip_suffix(" relative") {
            wanted.abs() * number(relative)?
        } else if let Some((share, _)) = tolerance.split_once(" %") {
            wanted.abs() * number(share)? / 100.0
        } else if tolerance.starts_with("exact") || tolerance == "printed digits" {
            let last = last_digit(expected);
            // Most tables round, but some cut: 1/2-20 has 0.15995 in² and is printed as 0.1599.
            if tolerance == "printed digits" && (0.0..last).contains(&(found - wanted)) {
                return Ok(());
            }
            0.5 * last * (1.0 + 1e-9)
        } else {
            number(tolerance)?
        };
        close(found, wanted, slack)
    }

    /// Like [`near_text`](Self::near_text), but for figures that are exact and not rounded for print.
    pub fn equals(&self, found: f64, expected: &str) -> Outcome {
        let wanted = number(expected)?;
        close(found, wanted, wanted.abs() * 1e-12)
    }

    /// The figure and unit after `name` in the inputs, up to the next comma, semicolon or bracket: `d` in `K 0.2, d 0.75 in`.
    pub fn input<Q: Kind>(&self, name: &str) -> Result<Q, String> {
        let text = self.input_text(name)?;
        let measure = Measure::parse(text).map_err(|error| format!("{text}: {error}"))?;
        measure
            .quantity()
            .ok_or_else(|| format!("{text} is no {}", Q::DIMENSION))
    }

    /// The bare number after `name` in the inputs.
    pub fn input_number(&self, name: &str) -> Result<f64, String> {
        let text = self.input_text(name)?;
        number(text.split([' ', '/']).next().unwrap_or_default())
    }

    /// The text after `name` in the inputs.
    pub fn input_text(&self, name: &str) -> Result<&str, String> {
        let part = self
            .inputs
            .split([',', ';', '(', ')', ':'])
            .map(str::trim)
            .find_map(|part| part.strip_prefix(name).and_then(|rest| rest.strip_prefix(' ')))
            .ok_or_else(|| format!("no `{name}` in the inputs"))?;
        Ok(part.split(" at ").next().unwrap_or_default().trim())
    }

    /// The parts of `expected` split at semicolons: `preload 20.2; torque 26.1`.
    pub fn expected_part(&self, name: &str) -> Option<&str> {
        self.expected
            .split(';')
            .map(str::trim)
            .find_map(|part| part.strip_prefix(name)?.strip_prefix(' '))
    }
}

/// What the last digit printed stands for: 0.01 for `6.05`.
fn last_digit(text: &str) -> f64 {
    let places = text.split_once('.').map_or(0, |(_, digits)| digits.len());
    10f64.powi(-i32::try_from(places).unwrap_or(0))
}

/// The first number of a text.
pub fn number(text: &str) -> Result<f64, String> {
    let first = text.split_whitespace().next().unwrap_or_default();
    first.parse().map_err(|_| format!("`{text}` is not a number"))
}

/// Both ends of `3 to 5`.
pub fn ends(text: &str) -> Result<(f64, f64), String> {
    let (low, high) = text
        .split_once(" to ")
        .ok_or_else(|| format!("`{text}` is not a range"))?;
    Ok((number(low)?, number(high)?))
}

/// How many of a unit a quantity is.
pub fn count_of<Q: Kind>(quantity: Q, unit: &str) -> Result<f64, String> {
    let one = Measure::parse(&format!("1 {unit}")).map_err(|error| error.to_string())?;
    let one: Q = one
        .quantity()
        .ok_or_else(|| format!("{unit} is no unit of {}", Q::DIMENSION))?;
    Ok(quantity.si() / one.si())
}

/// The unit of that spelling.
pub fn unit(spelling: &str) -> Result<Unit, String> {
    Unit::find(spelling).ok_or_else(|| format!("no unit `{spelling}`"))
}

/// Two figures, so far apart at most.
pub fn close(found: f64, wanted: f64, slack: f64) -> Outcome {
    if (found - wanted).abs() <= slack {
        Ok(())
    } else {
        Err(format!("found {found}, expected {wanted} ± {slack}"))
    }
}

/// Two texts that must be alike.
pub fn same<T: PartialEq + std::fmt::Debug>(found: T, wanted: T) -> Outcome {
    if found == wanted {
        Ok(())
    } else {
        Err(format!("found {found:?}, expected {wanted:?}"))
    }
}
