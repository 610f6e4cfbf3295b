//! Hazards: signal words and their panels, signs, and the pictograms of hazardous products.
//!
//! - [`SignalWord`]: DANGER, WARNING, CAUTION, NOTICE after ANSI Z535.6 and ISO 3864-2. US military manuals use CAUTION for damage,
//!   which is NOTICE here: the two schemes don't mix on a card.
//! - [`GhsPictogram`] and [`pictogram_of_class`]: UN GHS. A GHS "Warning" isn't a WARNING: product hazards and step hazards are kept
//!   apart.
//! - [`Sign`]: the ISO 7010 signs a workshop meets. [`rules`]: where messages stand and what they hold.

mod sign;
mod signal;

use std::fmt;
use std::sync::OnceLock;

use serde::Deserialize;

use super::named;
use super::quantity::ValueError;
use super::table;

pub use sign::{Sign, SignKind, sign, sign_kinds, signs};
pub use signal::{Panel, SafetyColour, SignalWord, safety_colours};

const PICTOGRAMS: &str = include_str!("../../tables/ghs-pictograms.csv");
const CLASSES: &str = include_str!("../../tables/ghs-classes.csv");
const RULES: &str = include_str!("../../tables/safety-rules.csv");

/// A GHS pictogram: a row of `compiler/tables/ghs-pictograms.csv`. Orders by code.
#[derive(Clone, Copy)]
pub struct GhsPictogram(&'static PictogramRow);

#[derive(Deserialize)]
struct PictogramRow {
    code: String,
    symbol: String,
    stands_for: String,
    source: String,
}

fn pictograms() -> &'static [PictogramRow] {
    static ROWS: OnceLock<Vec<PictogramRow>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("ghs-pictograms.csv", PICTOGRAMS))
}

impl GhsPictogram {
    /// Every pictogram, by code.
    pub fn all() -> impl Iterator<Item = GhsPictogram> {
        pictograms().iter().map(GhsPictogram)
    }

    /// Reads a code, `GHS02`, in any case.
    ///
    /// # Errors
    /// If there is no such code.
    pub fn parse(text: &str) -> Result<GhsPictogram, ValueError> {
        named::find_by_name(
            "GHS pictogram code",
            text,
            pictograms().iter().map(|row| (row.code.as_str(), row)),
        )
        .map(GhsPictogram)
    }

    /// The code: `GHS02`.
    pub fn code(self) -> &'static str {
        &self.0.code
    }

    /// What the symbol shows: `flame`.
    pub fn symbol(self) -> &'static str {
        &self.0.symbol
    }

    /// What it warns of: `flammable`.
    pub fn stands_for(self) -> &'static str {
        &self.0.stands_for
    }

    /// Where the row is from.
    pub fn source(self) -> &'static str {
        &self.0.source
    }
}

impl PartialEq for GhsPictogram {
    fn eq(&self, other: &Self) -> bool {
        self.code() == other.code()
    }
}

impl Eq for GhsPictogram {}

impl PartialOrd for GhsPictogram {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for GhsPictogram {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.code().cmp(other.code())
    }
}

impl fmt::Debug for GhsPictogram {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.code())
    }
}

impl fmt::Display for GhsPictogram {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.code())
    }
}

#[derive(Deserialize)]
struct ClassRow {
    class: String,
    aliases: String,
    code: String,
}

/// The pictogram of a hazard class and category (`flammable liquid category 2`), or of a common product of that class.
///
/// # Errors
/// If the table doesn't hold the class.
pub fn pictogram_of_class(class: &str) -> Result<GhsPictogram, ValueError> {
    static ROWS: OnceLock<Vec<ClassRow>> = OnceLock::new();
    let rows = ROWS.get_or_init(|| table::rows("ghs-classes.csv", CLASSES));
    let row = named::find_row("hazard class", class, rows, |row| (&row.class, &row.aliases))?;
    GhsPictogram::parse(&row.code)
}

/// A rule of how safety messages are placed and made.
#[derive(Clone, Debug, Deserialize)]
pub struct SafetyRule {
    /// What it is about.
    pub subject: String,
    /// The rule, in our words.
    pub rule: String,
    /// Where it is from.
    pub source: String,
}

/// Every rule, in table order.
pub fn rules() -> &'static [SafetyRule] {
    static ROWS: OnceLock<Vec<SafetyRule>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("safety-rules.csv", RULES))
}

/// The rule about a subject, if the table has one.
pub fn rule(subject: &str) -> Option<&'static SafetyRule> {
    rules().iter().find(|rule| rule.subject == subject)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_sourced_and_every_class_has_a_pictogram() {
        table::assert_sourced("ghs-pictograms.csv", PICTOGRAMS);
        table::assert_sourced("ghs-classes.csv", CLASSES);
        table::assert_sourced("safety-rules.csv", RULES);
        for row in table::rows::<ClassRow>("ghs-classes.csv", CLASSES) {
            assert_eq!(
                pictogram_of_class(&row.class).map(GhsPictogram::code),
                Ok(row.code.as_str())
            );
        }
        assert_eq!(pictogram_of_class("petrol").map(GhsPictogram::symbol), Ok("flame"));
        assert_eq!(
            GhsPictogram::parse("ghs07").map(GhsPictogram::stands_for),
            Ok("harmful or irritant")
        );
        assert_eq!(
            GhsPictogram::parse("GHS10").unwrap_err().help(),
            "did you mean `GHS01`?"
        );
        assert!(rule("content of a message").is_some());
    }
}
