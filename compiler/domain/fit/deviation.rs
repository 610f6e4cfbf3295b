//! The tables of ISO 286 and the rules by which holes follow from shafts.

use std::sync::OnceLock;

use rust_decimal::Decimal;
use serde::Deserialize;

use crate::table;

const TABLE: &str = include_str!("../../tables/iso286.csv");

/// Lower and upper deviation from the nominal size, in micrometres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Deviations {
    /// EI or ei.
    pub lower: Decimal,
    /// ES or es.
    pub upper: Decimal,
}

/// One range of sizes (millimetres, above the first up to and including the second): grades and shaft deviations in micrometres.
#[derive(Deserialize)]
struct Row {
    above: i64,
    up_to: i64,
    it4: i64,
    it5: i64,
    it6: i64,
    it7: i64,
    it8: i64,
    it9: i64,
    it10: i64,
    it11: i64,
    it12: i64,
    c: i64,
    d: i64,
    e: i64,
    f: i64,
    g: i64,
    k: i64,
    m: i64,
    n: i64,
    p: i64,
    r: i64,
    s: i64,
    /// Not defined up to 24 mm.
    t: Option<i64>,
    u: i64,
}

fn table() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("iso286.csv", TABLE))
}

impl Row {
    fn grade(&self, grade: u32) -> Option<i64> {
        Some(match grade {
            4 => self.it4,
            5 => self.it5,
            6 => self.it6,
            7 => self.it7,
            8 => self.it8,
            9 => self.it9,
            10 => self.it10,
            11 => self.it11,
            12 => self.it12,
            _ => return None,
        })
    }

    /// The shaft deviation nearest the nominal size: upper for c to h, lower for k to u.
    fn shaft(&self, letter: &str, grade: u32) -> Option<i64> {
        Some(match letter {
            "c" => self.c,
            "d" => self.d,
            "e" => self.e,
            "f" => self.f,
            "g" => self.g,
            "h" => 0,
            "k" if grade > 7 => 0,
            "k" => self.k,
            "m" => self.m,
            "n" => self.n,
            "p" => self.p,
            "r" => self.r,
            "s" => self.s,
            "t" => self.t?,
            "u" => self.u,
            _ => return None,
        })
    }
}

/// The deviations of a class such as `H7` or `g6` at a nominal size in millimetres.
///
/// # Errors
/// A clause saying what the tables don't hold.
pub fn deviations(size: Decimal, class: &str) -> Result<Deviations, String> {
    let split = class
        .find(|letter: char| letter.is_ascii_digit())
        .unwrap_or(class.len());
    let (letters, digits) = class.split_at(split);
    let grade: u32 = digits
        .parse()
        .map_err(|_| "the tolerance class has no grade".to_owned())?;
    if !(5..=12).contains(&grade) {
        return Err("the tables hold grades 5 to 12".to_owned());
    }
    let row = table()
        .iter()
        .find(|row| size > Decimal::from(row.above) && size <= Decimal::from(row.up_to))
        .ok_or_else(|| "the tables hold sizes above 0 up to 500 mm".to_owned())?;
    let width = row.grade(grade).unwrap_or_default();
    let whole = |lower: i64, upper: i64| Deviations {
        lower: Decimal::from(lower),
        upper: Decimal::from(upper),
    };
    let letter = letters.to_ascii_lowercase();
    let hole = letters.starts_with(|first: char| first.is_ascii_uppercase());
    if letters != letter && letters != letters.to_ascii_uppercase() && letters != "Js" {
        return Err("a class is all capitals (a hole) or all small letters (a shaft)".to_owned());
    }
    if letter == "js" {
        let half = Decimal::new(width * 5, 1).normalize();
        return Ok(Deviations {
            lower: -half,
            upper: half,
        });
    }
    let unknown = || format!("the tables hold no deviation `{letters}` for this size");
    let shaft = row.shaft(&letter, grade).ok_or_else(unknown)?;
    let above = letter.as_str() >= "k";
    Ok(match (hole, above) {
        (false, false) => whole(shaft - width, shaft),
        (false, true) => whole(shaft, shaft + width),
        (true, false) => whole(-shaft, -shaft + width),
        (true, true) => {
            let upper = hole_upper(row, &letter, grade, shaft).ok_or_else(unknown)?;
            whole(upper - width, upper)
        }
    })
}

/// ES of the holes K to U: the shaft's deviation mirrored, plus Δ for the finer grades so that a hole and the next finer shaft of
/// the other system give the same fit (ISO 286-1:2010, 4.3.2.5 and table 3; clause number from memory).
fn hole_upper(row: &Row, letter: &str, grade: u32, shaft: i64) -> Option<i64> {
    let small = row.up_to <= 3;
    let fine = grade <= if letter < "p" { 8 } else { 7 };
    let delta = if small || !fine {
        0
    } else {
        row.grade(grade)? - row.grade(grade - 1)?
    };
    Some(match letter {
        // K has no deviation of its own in the coarser grades above 3 mm, N is nought there.
        "k" if grade > 8 && !small => return None,
        // The shaft's k is nought in grade 8, but the hole's rule starts from the finer grades' figure.
        "k" => delta - row.k,
        "n" if grade > 8 && !small => 0,
        // The one printed exception: M6 from 250 to 315 mm is −9, not −11.
        "m" if grade == 6 && row.above >= 250 && row.up_to <= 315 => -9,
        _ => delta - shaft,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_sourced_and_without_gaps() {
        table::assert_sourced("iso286.csv", TABLE);
        for pair in table().windows(2) {
            assert_eq!(pair[0].up_to, pair[1].above);
        }
        for row in table() {
            for grade in 5..=12 {
                assert!(row.grade(grade) > row.grade(grade - 1));
            }
        }
    }

    #[test]
    fn interference_grows_with_the_letter() {
        for size in [2, 5, 8, 15, 22, 28, 35, 45, 60, 75, 90, 110, 400] {
            let lower: Vec<Decimal> = ["h6", "k6", "m6", "n6", "p6", "r6", "s6", "u6"]
                .iter()
                .map(|class| deviations(Decimal::from(size), class).unwrap().lower)
                .collect();
            assert!(lower.windows(2).all(|pair| pair[0] <= pair[1]), "{size}: {lower:?}");
        }
    }
}
