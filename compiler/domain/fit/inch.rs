//! Preferred fits of ANSI B4.1 in inches: RC running, LC, LT and LN locational, FN force.

use std::sync::OnceLock;

use rust_decimal::Decimal;
use serde::Deserialize;

use crate::quantity::{Dimension, Measure, Scan, Unit, ValueError, ValueErrorKind};
use crate::table;

const TABLE: &str = include_str!("../../tables/ansi-b4-1.csv");

/// A class over one range of sizes (inches, above the first up to and including the second); limits in thousandths of an inch from the
/// nominal size. The hole starts at nought.
#[derive(Debug, Deserialize)]
struct Row {
    class: String,
    above: String,
    up_to: String,
    hole_upper: String,
    shaft_lower: String,
    shaft_upper: String,
    source: String,
}

struct Entry {
    class: String,
    above: Decimal,
    up_to: Decimal,
    hole_upper: Decimal,
    shaft: (Decimal, Decimal),
    source: String,
}

fn table() -> &'static [Entry] {
    static ROWS: OnceLock<Vec<Entry>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let number = |text: &str| {
            // Cells of an embedded table that a test reads whole.
            Decimal::from_str_exact(text)
                .unwrap_or_else(|error| table::broken(format_args!("ansi-b4-1.csv: {text}: {error}")))
        };
        let entry = |row: Row| Entry {
            above: number(&row.above),
            up_to: number(&row.up_to),
            hole_upper: number(&row.hole_upper),
            shaft: (number(&row.shaft_lower), number(&row.shaft_upper)),
            class: row.class,
            source: row.source,
        };
        table::rows("ansi-b4-1.csv", TABLE).into_iter().map(entry).collect()
    })
}

/// A fit of ANSI B4.1 at a nominal size in inches.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InchFit {
    /// Nominal size, inches.
    pub size: Decimal,
    /// `RC4`.
    pub class: &'static str,
    /// Least and greatest deviation of the hole, thousandths of an inch.
    pub hole: (Decimal, Decimal),
    /// Least and greatest deviation of the shaft, thousandths of an inch.
    pub shaft: (Decimal, Decimal),
    /// Where the figures come from.
    pub source: &'static str,
}

impl InchFit {
    /// Reads `1.25 in RC4`, `RC 4 1.25 in`, `1-1/4 in FN2`; `None` if no class of ANSI B4.1 is in the text.
    ///
    /// # Errors
    /// If the size isn't a length in inches, or the tables don't hold it.
    pub fn parse(text: &str) -> Option<Result<InchFit, ValueError>> {
        let whole = Scan::new(text).remainder();
        let (class, before, behind) = match class_in(text)? {
            (Ok(class), before, behind) => (class, before, behind),
            (Err(name), ..) => {
                let kind = ValueErrorKind::UnknownFit {
                    found: text.trim().to_owned(),
                    reason: format!(
                        "ANSI B4.1 has RC1 to RC9, LC1 to LC11, LT1 to LT6, LN1 to LN3 and FN1 to FN5, not {name}"
                    ),
                };
                return Some(Err(ValueError::new(whole, kind)));
            }
        };
        let size = format!("{before} {behind}");
        Some(InchFit::of(&size, class, whole))
    }

    fn of(size: &str, class: &'static str, whole: std::ops::Range<usize>) -> Result<InchFit, ValueError> {
        let fail = |reason: String| {
            let found = format!("{} {class}", size.trim());
            ValueError::new(whole.clone(), ValueErrorKind::UnknownFit { found, reason })
        };
        let measure = Measure::parse_any_of(size, &[Dimension::Length])
            .map_err(|_| fail("a fit of ANSI B4.1 needs a size in inches, such as `1.25 in`".to_owned()))?;
        let inches = Unit::find("in").and_then(|inch| measure.unit().convert(measure.value(), inch));
        let inches = inches.ok_or_else(|| fail("its size is out of range".to_owned()))?;
        let entry = table()
            .iter()
            .find(|entry| entry.class == class && inches > entry.above && inches <= entry.up_to);
        let entry = entry.ok_or_else(|| {
            fail(format!(
                "the tables don't hold {class} for this size (they end at 19.69 in)"
            ))
        })?;
        Ok(InchFit {
            size: inches,
            class,
            hole: (Decimal::ZERO, entry.hole_upper),
            shaft: entry.shaft,
            source: &entry.source,
        })
    }

    /// The least clearance, thousandths of an inch: negative is the greatest interference.
    pub fn least_clearance(&self) -> Decimal {
        self.hole.0 - self.shaft.1
    }

    /// The greatest clearance, thousandths of an inch: negative is the least interference.
    pub fn greatest_clearance(&self) -> Decimal {
        self.hole.1 - self.shaft.0
    }
}

/// The class in a text, or what is written in its place: two letters and a number, with or without a space; and what stands before it
/// and behind it.
fn class_in(text: &str) -> Option<(Result<&'static str, String>, &str, &str)> {
    let upper = text.to_ascii_uppercase();
    ["RC", "LC", "LT", "LN", "FN"].into_iter().find_map(|letters| {
        let (before, after) = upper.split_once(letters)?;
        let number = after.trim_start();
        let behind = number.trim_start_matches(|digit: char| digit.is_ascii_digit());
        let digits = number.strip_suffix(behind).filter(|digits| !digits.is_empty())?;
        let name = format!("{letters}{digits}");
        let known = table().iter().find(|entry| entry.class == name);
        let class = known.map(|entry| entry.class.as_str()).ok_or(name);
        // Capitals of ASCII take as many bytes as small letters.
        Some((class, text.get(..before.len())?, text.get(text.len() - behind.len()..)?))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_sourced_and_fits_are_what_their_letters_say() {
        table::assert_sourced("ansi-b4-1.csv", TABLE);
        for entry in table() {
            let least = -entry.shaft.1;
            let greatest = entry.hole_upper - entry.shaft.0;
            let ok = match &entry.class[..2] {
                "RC" | "LC" => least >= Decimal::ZERO,
                "LT" => least < Decimal::ZERO && greatest > Decimal::ZERO,
                _ => greatest <= Decimal::ZERO || (entry.class.starts_with("LN") && greatest <= Decimal::new(1, 1)),
            };
            assert!(ok, "{} {}: {least} to {greatest}", entry.class, entry.up_to);
            assert!(entry.shaft.0 < entry.shaft.1);
        }
    }

    #[test]
    fn published_limits() {
        let limits = |text: &str| {
            let fit = InchFit::parse(text).unwrap().unwrap();
            (fit.least_clearance().to_string(), fit.greatest_clearance().to_string())
        };
        // Machinery's Handbook: RC 4 at 1.19 to 1.97, FN 2 at 0.95 to 1.19, LT 3 at 0.71 to 1.19.
        assert_eq!(limits("1.5 in RC4"), ("1".into(), "3.6".into()));
        assert_eq!(limits("FN 2 1 in"), ("-1.9".into(), "-0.6".into()));
        assert_eq!(limits("1 in LT3"), ("-0.6".into(), "0.7".into()));
        assert!(InchFit::parse("50 H7").is_none());
        assert!(InchFit::parse("30 in RC4").unwrap().is_err());
        assert!(InchFit::parse("1 in FN9").unwrap().is_err());
    }
}
