//! What standards say of torque tools: how far off they may be, and facts of their calibration.

use std::sync::OnceLock;

use serde::Deserialize;
use uom::si::f64::{Ratio, Torque};
use uom::si::ratio::percent;
use uom::si::torque::newton_meter;

use crate::named;
use crate::quantity::{Kind, ValueError};
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
    Ok(row.map(|row| PermissibleDeviation {
        deviation: Ratio::new::<percent>(row.deviation),
        edition: &row.edition,
        source: &row.source,
    }))
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

/// The fact about a subject, if the table has one.
pub fn fact(subject: &str) -> Option<&'static ToolFact> {
    facts().iter().find(|fact| fact.subject == subject)
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
