//! Tools that bring a hazard into every step that uses them, by their kind or by what is said of them.

use crate::domain::table;
use crate::model::registers::{HAZARDS, Hazard, Tool};
use serde::Deserialize;
use std::sync::OnceLock;

const TRIGGERS: &str = include_str!("../../tables/hazard-triggers.csv");

#[derive(Deserialize)]
struct TriggerRow {
    kind: String,
    hazard: String,
    what: String,
}

fn triggers() -> &'static [TriggerRow] {
    static ROWS: OnceLock<Vec<TriggerRow>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("hazard-triggers.csv", TRIGGERS))
}

/// The kinds of tools that bring a hazard.
pub fn kinds() -> impl Iterator<Item = &'static str> {
    triggers().iter().map(|row| row.kind.as_str())
}

/// What a tool brings into a step, by its kind and its own `hazard:`, in plain words: `a load on a hook`.
pub fn of_tool(tool: &Tool) -> Vec<(Hazard, &'static str)> {
    let kind = tool.kind.as_ref().map_or("", |kind| kind.text.as_str());
    let rows = triggers().iter().filter(|row| row.kind.eq_ignore_ascii_case(kind));
    let by_kind = rows.filter_map(|row| {
        let hazard = HAZARDS.iter().find(|(word, _)| *word == row.hazard)?;
        Some((hazard.1, row.what.as_str()))
    });
    let own = tool.hazards.iter().map(|hazard| (*hazard, hazard.word()));
    by_kind.chain(own).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_names_a_hazard_of_the_language() {
        for row in triggers() {
            assert!(HAZARDS.iter().any(|(word, _)| *word == row.hazard), "{}", row.hazard);
        }
    }
}
