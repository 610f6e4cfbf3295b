//! Kits: each `tests/kit/<name>.txt` (head: `with: option=value`, `against: option=value`) gives exactly the table and the CSV beside it,
//! and the CSV, read by another library than the one that wrote it, holds the same cells as the kit.

use crate::harness::{Outcome, fixture, job, snapshot};
use libtest_mimic::Trial;
use std::path::Path;

pub fn trials() -> Vec<Trial> {
    let fixtures = fixture::texts(&fixture::folder("kit")).into_iter();
    fixtures
        .map(|path| Trial::test(format!("kit/{}", fixture::stem(&path)), move || kit(&path)))
        .collect()
}

fn kit(path: &Path) -> Outcome {
    let wanted = job::wanted(&fixture::text(path));
    let (table, csv, value) = job::kit(&fixture::read(path), &wanted)?;
    snapshot::compare(&path.with_extension("table"), &table)?;
    let rows = csv_parser::parse(csv.clone().into_bytes()).map_err(|e| format!("the CSV can't be read: {e}"))?;
    let width = rows.first().map_or(0, Vec::len);
    if let Some(row) = rows.iter().find(|row| row.len() != width) {
        return Err(format!("{row:?} has {} cells, the head {width}", row.len()).into());
    }
    let mut missing = Vec::new();
    for list in [
        "order",
        "inspect",
        "fasteners",
        "consumables",
        "tools",
        "gauges",
        "temporary",
        "rows",
    ] {
        for line in value.get(list).and_then(|l| l.as_array()).into_iter().flatten() {
            let cell = |name: &str| line.get(name).and_then(|c| c.as_str()).unwrap_or("").to_string();
            let cells = ["id", "name", "number", "amount", "price", "detail", "left", "right"].map(cell);
            let holds = |row: &&Vec<String>| cells.iter().all(|cell| cell.is_empty() || row.contains(cell));
            if rows.iter().filter(holds).count() != 1 {
                missing.push(format!("{cells:?} is not once in the CSV"));
            }
        }
    }
    if !missing.is_empty() {
        return Err(missing.join("\n").into());
    }
    snapshot::compare(&path.with_extension("csv"), &csv)
}
