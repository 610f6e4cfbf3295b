//! Reads the tables under `compiler/tables/`: CSV files compiled into the program, each row with its source.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;

/// Every row of an embedded table, in file order.
///
/// A row that can't be read stops the program here rather than turning into a missing entry later.
pub fn rows<T: DeserializeOwned>(name: &str, text: &str) -> Vec<T> {
    csv::Reader::from_reader(text.as_bytes())
        .into_deserialize()
        .map(|row| row.unwrap_or_else(|error| broken(format_args!("{name}: {error}"))))
        .collect()
}

/// Every row of an embedded table that is wider than a struct should be, cell by name of its column.
pub(crate) fn cells(name: &str, text: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headers = reader
        .headers()
        .unwrap_or_else(|error| broken(format_args!("{name}: {error}")))
        .clone();
    let row = |row: Result<csv::StringRecord, csv::Error>| {
        let row = row.unwrap_or_else(|error| broken(format_args!("{name}: {error}")));
        let pairs = headers.iter().zip(row.iter());
        pairs
            .map(|(column, cell)| (column.to_owned(), cell.to_owned()))
            .collect()
    };
    reader.into_records().map(row).collect()
}

/// Stops the program over a row of an embedded table that can't be read.
#[expect(
    clippy::panic,
    reason = "the tables are constants, read whole by tests: a broken one is the program's fault, never its user's"
)]
pub fn broken(what: impl std::fmt::Display) -> ! {
    panic!("embedded table {what}")
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
