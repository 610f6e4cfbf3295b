//! Reads the tables under `compiler/tables/`: CSV files compiled into the program, each row with its source.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;

/// Every row of an embedded table, in file order.
///
/// The texts are constants of the program, and the tests of each table read it whole; a row that can't be read is a fault of the
/// program, never of its user, so it stops here rather than turning into a missing entry later.
pub fn rows<T: DeserializeOwned>(name: &str, text: &str) -> Vec<T> {
    csv::Reader::from_reader(text.as_bytes())
        .into_deserialize()
        .map(|row| row.unwrap_or_else(|error| panic!("embedded table {name}: {error}")))
        .collect()
}

/// Every row of an embedded table that is wider than a struct should be, cell by name of its column.
pub(crate) fn cells(name: &str, text: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headers = reader
        .headers()
        .unwrap_or_else(|error| panic!("embedded table {name}: {error}"))
        .clone();
    let row = |row: Result<csv::StringRecord, csv::Error>| {
        let row = row.unwrap_or_else(|error| panic!("embedded table {name}: {error}"));
        let pairs = headers.iter().zip(row.iter());
        pairs
            .map(|(column, cell)| (column.to_owned(), cell.to_owned()))
            .collect()
    };
    reader.into_records().map(row).collect()
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
