//! The tables of ISO 286 and the rules by which holes follow from shafts.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use rust_decimal::Decimal;

use crate::table;

const TABLE: &str = include_str!("../../tables/iso286.csv");

/// Lower and upper deviation from the nominal size, in micrometres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Deviations {
    /// EI or ei.
    pub lower: Decimal,
    /// ES or es.
    pub upper: Decimal,
    /// Where the figures come from.
    pub source: &'static str,
}

/// One range of sizes (millimetres, above the first up to and including the second): grades and deviations in micrometres by the name
/// of their column. A name that isn't there is not defined for these sizes.
struct Row {
    above: Decimal,
    up_to: Decimal,
    cells: BTreeMap<String, Decimal>,
    source: String,
}

fn table() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let number = |text: &str| {
            // Cells of an embedded table that a test reads whole.
            Decimal::from_str_exact(text)
                .unwrap_or_else(|error| table::broken(format_args!("iso286.csv: {text}: {error}")))
        };
        let row = |cells: BTreeMap<String, String>| {
            let cell = |name: &str| {
                let found = cells.get(name);
                found.unwrap_or_else(|| table::broken(format_args!("iso286.csv: no column {name}")))
            };
            Row {
                above: number(cell("above")),
                up_to: number(cell("up_to")),
                source: cell("source").clone(),
                cells: cells
                    .iter()
                    .filter(|(name, text)| *name != "source" && !text.is_empty())
                    .map(|(name, text)| (name.clone(), number(text)))
                    .collect(),
            }
        };
        table::cells("iso286.csv", TABLE).into_iter().map(row).collect()
    })
}

/// Grades from the finest; IT01 and IT0 come before IT1.
const GRADES: [&str; 20] = [
    "01", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12", "13", "14", "15", "16", "17", "18",
];

impl Row {
    fn cell(&self, name: &str) -> Option<Decimal> {
        self.cells.get(name).copied()
    }

    /// The width of a grade, IT.
    fn grade(&self, grade: &str) -> Option<Decimal> {
        self.cell(&format!("it{grade}"))
    }

    /// The shaft deviation nearest the nominal size: upper for a to h, lower for j to zc.
    fn shaft(&self, letter: &str, grade: &str) -> Option<Decimal> {
        match (letter, grade) {
            ("h", _) => Some(Decimal::ZERO),
            ("j", "5" | "6") => self.cell("j6"),
            ("j", "7") => self.cell("j7"),
            ("j", "8") => self.cell("j8"),
            ("j", _) => None,
            ("k", "4" | "5" | "6" | "7") => self.cell("k"),
            ("k", _) => Some(Decimal::ZERO),
            _ => self.cell(letter),
        }
    }

    fn is_smallest(&self) -> bool {
        self.up_to <= Decimal::from(3)
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
    let (letters, grade) = class.split_at(split);
    if grade.is_empty() {
        return Err("the tolerance class has no grade".to_owned());
    }
    let index = GRADES.iter().position(|known| *known == grade);
    let index = index.ok_or_else(|| "the tables hold grades 01, 0 and 1 to 18".to_owned())?;
    let row = table()
        .iter()
        .find(|row| size > row.above && size <= row.up_to)
        .ok_or_else(|| "the tables hold sizes above 0 up to 3150 mm".to_owned())?;
    let width = row
        .grade(grade)
        .ok_or_else(|| format!("the tables hold no grade {grade} for this size"))?;
    let ends = |lower: Decimal, upper: Decimal| Deviations {
        lower: lower.normalize(),
        upper: upper.normalize(),
        source: &row.source,
    };
    let letter = letters.to_ascii_lowercase();
    let hole = letters.starts_with(|first: char| first.is_ascii_uppercase());
    if letters != letter && letters != letters.to_ascii_uppercase() && letters != "Js" {
        return Err("a class is all capitals (a hole) or all small letters (a shaft)".to_owned());
    }
    if letter == "js" {
        let half = width / Decimal::TWO;
        return Ok(ends(-half, half));
    }
    let unknown = || format!("the tables hold no deviation `{letters}` of this grade for this size");
    if size <= Decimal::ONE && matches!(letter.as_str(), "a" | "b") {
        return Err(format!("`{letters}` is not for sizes up to 1 mm"));
    }
    if hole && letter == "j" {
        let upper = row.cell(&format!("J{grade}")).ok_or_else(unknown)?;
        return Ok(ends(upper - width, upper));
    }
    let shaft = row.shaft(&letter, grade).ok_or_else(unknown)?;
    let above = letter.as_str() >= "j";
    Ok(match (hole, above) {
        (false, false) => ends(shaft - width, shaft),
        (false, true) => ends(shaft, shaft + width),
        (true, false) => ends(-shaft, -shaft + width),
        (true, true) => {
            let upper = hole_upper(row, &letter, index, shaft).ok_or_else(unknown)?;
            ends(upper - width, upper)
        }
    })
}

/// ES of the holes K to ZC: the shaft's deviation mirrored, plus Δ for the finer grades so that a hole and the next finer shaft of
/// the other system give the same fit (ISO 286-1:2010, 4.3.2.5 and table 3; clause number from memory). Above 500 mm there is no Δ.
fn hole_upper(row: &Row, letter: &str, index: usize, shaft: Decimal) -> Option<Decimal> {
    let (small, large) = (row.is_smallest(), row.above >= Decimal::from(500));
    let finest = GRADES.iter().position(|grade| *grade == "3")?;
    let last = GRADES
        .iter()
        .position(|grade| *grade == if letter < "p" { "8" } else { "7" })?;
    let grade = *GRADES.get(index)?;
    let fine = index <= last;
    let delta = if small || large || !fine {
        Decimal::ZERO
    } else if index < finest {
        // Δ is tabled for grades 3 to 8.
        return None;
    } else {
        let finer = GRADES.get(index.checked_sub(1)?)?;
        row.grade(grade)? - row.grade(finer)?
    };
    let coarse = index > GRADES.iter().position(|grade| *grade == "8")?;
    Some(match letter {
        // K has no deviation of its own in the coarser grades above 3 mm, N is nought there.
        "k" if coarse && !small => return None,
        // The shaft's k is nought in grade 8, but the hole's rule starts from the finer grades' figure.
        "k" => delta - row.cell("k")?,
        "n" if coarse && !small && !large => Decimal::ZERO,
        // The one printed exception: M6 from 250 to 315 mm is −9, not −11.
        "m" if grade == "6" && row.above >= Decimal::from(250) && row.up_to <= Decimal::from(315) => Decimal::from(-9),
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
            let widths: Vec<Decimal> = GRADES.iter().filter_map(|grade| row.grade(grade)).collect();
            assert!(widths.windows(2).all(|pair| pair[0] < pair[1]));
            assert!(widths.len() >= 18);
        }
    }

    #[test]
    fn interference_grows_with_the_letter() {
        for size in [2, 5, 8, 15, 22, 28, 35, 45, 60, 75, 90, 110, 400] {
            let classes = [
                "a6", "b6", "c6", "cd6", "d6", "e6", "ef6", "f6", "fg6", "g6", "h6", "j6", "k6", "m6", "n6", "p6",
                "r6", "s6", "t6", "u6", "v6", "x6", "y6", "z6", "za6", "zb6", "zc6",
            ];
            let lower: Vec<Decimal> = classes
                .iter()
                .filter_map(|class| deviations(Decimal::from(size), class).ok())
                .map(|deviations| deviations.lower)
                .collect();
            assert!(lower.len() >= 21, "{size}");
            assert!(lower.windows(2).all(|pair| pair[0] <= pair[1]), "{size}: {lower:?}");
        }
    }
}
