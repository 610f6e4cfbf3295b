//! Lubrication: what lies between the threads and under the head, and what that does to a torque.
//!
//! A finish alone doesn't settle the nut factor: handbooks rank dry zinc both above and below bare steel. So every
//! [`Condition`] (`compiler/tables/lubrication.csv`) has a usual value *and* a range, for the nut factor K in T = K F d and for the
//! coefficient of friction. [`published_nut_factors`] are single values as handbooks print them (`compiler/tables/nut-factors.csv`).

use std::fmt;
use std::sync::OnceLock;

use serde::Deserialize;

use super::named;
use super::quantity::ValueError;
use super::table;

const CONDITIONS: &str = include_str!("../../tables/lubrication.csv");
const NUT_FACTORS: &str = include_str!("../../tables/nut-factors.csv");

#[derive(Deserialize)]
struct Row {
    condition: String,
    aliases: String,
    k: f64,
    k_low: f64,
    k_high: f64,
    mu: f64,
    mu_low: f64,
    mu_high: f64,
    source: String,
}

fn conditions() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("lubrication.csv", CONDITIONS))
}

/// A dimensionless factor with its scatter: the usual value and the range it lies in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scatter {
    /// The low end.
    pub low: f64,
    /// The usual value.
    pub usual: f64,
    /// The high end.
    pub high: f64,
}

/// The state of a rubbing face, `dry`, `oiled`, `anti-seize` …: a row of `compiler/tables/lubrication.csv`.
#[derive(Clone, Copy)]
pub struct Condition(&'static Row);

impl Condition {
    /// Every condition, in table order.
    pub fn all() -> impl Iterator<Item = Condition> {
        conditions().iter().map(Condition)
    }

    /// The condition for when nothing is said.
    pub fn unknown() -> Condition {
        // The table is embedded; a test finds the row in its place.
        let first = conditions().first();
        Condition(first.unwrap_or_else(|| table::broken("lubrication.csv: no row")))
    }

    /// Reads a condition's name or one of its other names, in any case.
    ///
    /// # Errors
    /// If the table doesn't hold it.
    pub fn parse(text: &str) -> Result<Condition, ValueError> {
        named::find_row("lubrication", text, conditions(), |row| (&row.condition, &row.aliases)).map(Condition)
    }

    /// The name in the table.
    pub fn name(self) -> &'static str {
        &self.0.condition
    }

    /// Nut factor K when threads and face are both so. Never shown without its range: handbooks give one finish figures that are
    /// half as large again.
    pub fn nut_factor(self) -> Scatter {
        Scatter {
            low: self.0.k_low,
            usual: self.0.k,
            high: self.0.k_high,
        }
    }

    /// Coefficient of friction of steel on steel in this condition.
    pub fn friction(self) -> Scatter {
        Scatter {
            low: self.0.mu_low,
            usual: self.0.mu,
            high: self.0.mu_high,
        }
    }

    /// Where the figures come from.
    pub fn source(self) -> &'static str {
        &self.0.source
    }
}

impl PartialEq for Condition {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.0, other.0)
    }
}

impl Eq for Condition {}

impl fmt::Debug for Condition {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Condition({})", self.name())
    }
}

impl fmt::Display for Condition {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.name())
    }
}

/// The condition of the threads and of the bearing face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lubrication {
    /// Between the threads.
    pub threads: Condition,
    /// Between head or nut and what it turns against.
    pub face: Condition,
}

impl Lubrication {
    /// Both the same.
    pub fn both(condition: Condition) -> Lubrication {
        Lubrication {
            threads: condition,
            face: condition,
        }
    }

    /// Reads one word for both.
    ///
    /// # Errors
    /// If the table doesn't hold it.
    pub fn parse(text: &str) -> Result<Lubrication, ValueError> {
        Condition::parse(text).map(Lubrication::both)
    }
}

impl Default for Lubrication {
    fn default() -> Self {
        Lubrication::both(Condition::unknown())
    }
}

impl fmt::Display for Lubrication {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.threads == self.face {
            self.threads.fmt(formatter)
        } else {
            write!(formatter, "threads {}, face {}", self.threads, self.face)
        }
    }
}

/// A nut factor as a handbook prints it for a finish.
#[derive(Clone, Debug, Deserialize)]
pub struct NutFactor {
    /// The finish in the handbook's terms, shortened.
    pub finish: String,
    /// The condition of `lubrication.csv` that it is one of: the factor lies in that one's range.
    pub condition: String,
    /// K in T = K F d.
    pub k: f64,
    /// The handbook and its table.
    pub source: String,
}

/// Every published nut factor the tables hold, in file order.
pub fn published_nut_factors() -> &'static [NutFactor] {
    static ROWS: OnceLock<Vec<NutFactor>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("nut-factors.csv", NUT_FACTORS))
}

/// The published nut factor of a finish.
///
/// # Errors
/// If the table doesn't hold the finish.
pub fn published_nut_factor(finish: &str) -> Result<&'static NutFactor, ValueError> {
    named::find_by_name(
        "finish",
        finish.trim(),
        published_nut_factors().iter().map(|row| (row.finish.as_str(), row)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_condition_is_sourced_and_in_order() {
        table::assert_sourced("lubrication.csv", CONDITIONS);
        table::assert_sourced("nut-factors.csv", NUT_FACTORS);
        assert_eq!(Condition::unknown().name(), "unknown");
        for condition in Condition::all() {
            for scatter in [condition.nut_factor(), condition.friction()] {
                assert!(
                    0.0 < scatter.low && scatter.low < scatter.usual && scatter.usual < scatter.high,
                    "{condition}"
                );
            }
            assert_eq!(Condition::parse(condition.name()), Ok(condition));
        }
        assert_eq!(Condition::parse("Lightly Oiled").map(Condition::name), Ok("oiled"));
        assert_eq!(Condition::parse("oild").unwrap_err().help(), "did you mean `oiled`?");
        assert!(published_nut_factor("zinc plated").is_ok());
    }

    #[test]
    fn every_published_nut_factor_lies_in_the_range_of_its_condition() {
        for published in published_nut_factors() {
            let range = Condition::parse(&published.condition).unwrap().nut_factor();
            assert!(
                range.low <= published.k && published.k <= range.high,
                "{}: {} outside {} to {}",
                published.finish,
                published.k,
                range.low,
                range.high
            );
        }
    }
}
