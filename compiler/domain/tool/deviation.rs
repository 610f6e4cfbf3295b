//! What standards say of torque tools: how far off they may be, and facts of their calibration.

use std::sync::OnceLock;

use rust_decimal::Decimal;
use serde::Deserialize;
use uom::si::f64::{Ratio, Torque};
use uom::si::ratio::percent;
use uom::si::torque::newton_meter;

use crate::named;
use crate::quantity::{Dimension, Figure, Kind, Measure, Scan, Unit, ValueError, ValueErrorKind};
use crate::table;

const TOOLS: &str = include_str!("../../tables/torque-tools.csv");
const FACTS: &str = include_str!("../../tables/torque-tool-facts.csv");

#[derive(Deserialize)]
struct Row {
    kind: String,
    edition: String,
    above: f64,
    up_to: Option<f64>,
    deviation: f64,
    source: String,
}

impl Row {
    fn permissible(&'static self) -> PermissibleDeviation {
        PermissibleDeviation {
            deviation: Ratio::new::<percent>(self.deviation),
            edition: &self.edition,
            source: &self.source,
        }
    }
}

fn table() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("torque-tools.csv", TOOLS))
}

/// How far a kind of tool may be off, and who says so.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PermissibleDeviation {
    /// Either way, as a share of the reading.
    pub deviation: Ratio,
    /// The standard or manual and its edition.
    pub edition: &'static str,
    /// Where it was read.
    pub source: &'static str,
}

/// The permissible deviation of a kind of tool whose scale ends at `maximum`; `None` if the table doesn't cover that size.
///
/// # Errors
/// If the table doesn't hold the kind.
pub fn permissible_deviation(kind: &str, maximum: Torque) -> Result<Option<PermissibleDeviation>, ValueError> {
    let name = named::find_by_name(
        "kind of torque tool",
        kind,
        table().iter().map(|row| (row.kind.as_str(), row.kind.as_str())),
    )?;
    let size = maximum.get::<newton_meter>();
    let row = table()
        .iter()
        .find(|row| row.kind == name && size > row.above && row.up_to.is_none_or(|up_to| size <= up_to));
    Ok(row.map(Row::permissible))
}

/// Every kind of tool with its permissible deviation, in table order; a kind may stand for several sizes.
pub fn permissible_deviations() -> impl Iterator<Item = (String, PermissibleDeviation)> {
    table().iter().map(|row| {
        let sizes = match (row.above, row.up_to) {
            (above, Some(up_to)) if above > 0.0 => format!(", above {above} up to {up_to} N·m"),
            (_, Some(up_to)) => format!(", up to {up_to} N·m"),
            (above, None) if above > 0.0 => format!(", above {above} N·m"),
            (_, None) => String::new(),
        };
        (format!("{}{sizes}", row.kind), row.permissible())
    })
}

/// A deviation from a tool's certificate: a share of the true torque, less than half either way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deviation(Measure);

impl Deviation {
    /// Reads `-3 %`, `+2.5 %`.
    ///
    /// # Errors
    /// If it isn't a share in per cent, or so large that no certificate says it.
    pub fn parse(text: &str) -> Result<Deviation, ValueError> {
        let whole = Scan::new(text).remainder();
        // A sign is what tells which way; `+` says no more than none.
        let unsigned = text.trim_start().trim_start_matches('+');
        let sign = text.len() - unsigned.len();
        let share = Measure::parse_any_of(unsigned, &[Dimension::Ratio]).map_err(|error| error.shifted(sign))?;
        let found = Deviation(share);
        if found.share().is_some_and(|share| share.abs() < Decimal::new(5, 1)) {
            return Ok(found);
        }
        let found = text.trim().to_owned();
        Err(ValueError::new(whole, ValueErrorKind::NoDeviation { found }))
    }

    /// As a share: −0.03 for −3 %.
    pub fn share(&self) -> Option<Decimal> {
        let ratio = Unit::find("%")?;
        let share = self.0.unit().convert(self.0.value(), ratio)?;
        share.checked_div(Decimal::ONE_HUNDRED)
    }

    /// How much, without its sign: `3 %`.
    pub fn amount(&self) -> String {
        Measure::new(Figure::computed(self.0.value().abs()), self.0.unit()).to_string()
    }

    /// True if the tool reads less than the torque is.
    pub fn is_low(&self) -> bool {
        self.0.value().is_sign_negative()
    }
}

/// A fact of torque tools and their calibration.
#[derive(Clone, Debug, Deserialize)]
pub struct ToolFact {
    /// What it is about.
    pub subject: String,
    /// Its figures, or a rule in words; several are split by `|`.
    pub value: String,
    /// The unit, or what the figures count.
    pub unit: String,
    /// Where it is from.
    pub source: String,
}

/// Every fact, in table order.
pub fn facts() -> &'static [ToolFact] {
    static ROWS: OnceLock<Vec<ToolFact>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("torque-tool-facts.csv", FACTS))
}

/// How far an indicating tool is off: (reading − reference)/reference (ISO 6789-1:2017, clause 7; clause number from memory).
pub fn measured_deviation(reading: Torque, reference: Torque) -> Ratio {
    Ratio::from_si((reading.si() - reference.si()) / reference.si())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_sourced() {
        table::assert_sourced("torque-tools.csv", TOOLS);
        table::assert_sourced("torque-tool-facts.csv", FACTS);
        assert!(
            permissible_deviation("torque wrench", Torque::new::<newton_meter>(50.0))
                .unwrap()
                .is_some()
        );
        assert!(permissible_deviation("crowbar", Torque::new::<newton_meter>(50.0)).is_err());
    }
}
