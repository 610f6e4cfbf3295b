//! Reads the tables under `compiler/tables/`: CSV files compiled into the program, each row with its source.

use serde::de::DeserializeOwned;

use super::quantity::{Scan, ValueError, ValueErrorKind};

/// Every row of an embedded table, in file order.
///
/// The texts are constants of the program, and the tests of each table read it whole; a row that can't be read is a fault of the
/// program, never of its user, so it stops here rather than turning into a missing entry later.
pub(crate) fn rows<T: DeserializeOwned>(name: &str, text: &str) -> Vec<T> {
    csv::Reader::from_reader(text.as_bytes())
        .into_deserialize()
        .map(|row| row.unwrap_or_else(|error| panic!("embedded table {name}: {error}")))
        .collect()
}

/// The row of a name among `(name, row)`, without regard to case, hyphens and spaces; or a fault with the nearest name.
pub(crate) fn find_by_name<T: Copy>(
    what: &'static str,
    text: &str,
    names: impl Iterator<Item = (&'static str, T)>,
) -> Result<T, ValueError> {
    let at = Scan::new(text).remainder();
    let found = text[at.clone()].to_owned();
    if found.is_empty() {
        return Err(ValueError::new(at, ValueErrorKind::Empty));
    }
    let wanted = fold(&found);
    let mut nearest: Option<(usize, &'static str)> = None;
    for (name, row) in names {
        let own = fold(name);
        if own == wanted {
            return Ok(row);
        }
        // A name much longer than this one isn't near it, and comparing a whole text with each takes a while.
        if wanted.len() > 2 * own.len() + 4 {
            continue;
        }
        let distance = strsim::damerau_levenshtein(&own, &wanted);
        if distance <= 1 + own.chars().count() / 4 && nearest.is_none_or(|(known, _)| distance < known) {
            nearest = Some((distance, name));
        }
    }
    let suggestion = nearest.map(|(_, name)| name.to_owned());
    Err(ValueError::new(
        at,
        ValueErrorKind::UnknownName {
            what,
            found,
            suggestion,
        },
    ))
}

fn fold(name: &str) -> String {
    name.chars()
        .filter(|letter| !letter.is_whitespace() && !matches!(letter, '-' | '_'))
        .flat_map(char::to_lowercase)
        .collect()
}

/// Asserts that a table has rows and that each ends in a non-empty `source` column.
#[cfg(test)]
pub(crate) fn assert_sourced(name: &str, text: &str) {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headers = reader.headers().unwrap().clone();
    let column = headers
        .iter()
        .position(|header| header == "source")
        .unwrap_or_else(|| panic!("{name}: no source column"));
    let mut count = 0;
    for row in reader.records() {
        let row = row.unwrap();
        assert!(!row[column].trim().is_empty(), "{name}: no source in {row:?}");
        count += 1;
    }
    assert!(count > 0, "{name} is empty");
}
