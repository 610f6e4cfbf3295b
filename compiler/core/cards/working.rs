//! How a measurement that is worked out comes from its readings, as lines to be filled in with a calculator at hand.

use crate::check::calc::{CalcFacts, grid};
use crate::domain::calc::{Grid, Share, share};
use crate::model::registers::Measurement;
use crate::model::{Handle, Set};
use crate::words::formula::words;
use crate::words::{Phrase, phrase};

/// The calculation in words, for every place alike; empty for a reading.
pub fn formula(set: &Set, facts: &CalcFacts, handle: Handle<Measurement>) -> Phrase {
    let Some(calc) = facts.calcs.get(&handle) else {
        return Phrase::default();
    };
    words(&calc.node, &|name| match calc.readings.get(name) {
        Some(reading) => Phrase::from(&set.catalogue.limits[*reading].name),
        None => Phrase::from(name),
    })
}

/// One line for each place, with the readings that it takes and a blank for the result; none for a reading.
pub fn lines(set: &Set, facts: &CalcFacts, handle: Handle<Measurement>) -> Vec<Phrase> {
    let Some(calc) = facts.calcs.get(&handle) else {
        return Vec::new();
    };
    let measurement = &set.catalogue.limits[handle];
    let target = grid(measurement);
    let unit = measurement.limit.as_ref().map_or("", |l| l.value.unit().symbol());
    let line = |(place, name): (usize, String)| {
        let reading = |name: &str| {
            let Some(reading) = calc.readings.get(name) else {
                return Phrase::from(name);
            };
            let source = grid(&set.catalogue.limits[*reading]);
            let name = &set.catalogue.limits[*reading].name;
            match share(&target, &source, place) {
                Some(part) if part.cells.len() < source.len() => phrase!(name, ": ", places(&source, &part)),
                _ => Phrase::from(name),
            }
        };
        let line = words(&calc.node, &reading);
        let place = if name.is_empty() { name } else { format!("{name}: ") };
        phrase!(place, line, " = ____ ", unit)
    };
    target.names().into_iter().enumerate().map(line).collect()
}

/// The places of a part of a grid: its columns alone where it takes every row of them.
fn places(source: &Grid, part: &Share) -> String {
    let names = source.names();
    let whole_columns = !source.columns.is_empty() && part.rows == source.rows.len().max(1);
    let names: Vec<&str> = if whole_columns {
        let first_row = part.cells.iter().take(part.columns);
        first_row
            .filter_map(|c| Some(source.columns.get(*c)?.as_str()))
            .collect()
    } else {
        part.cells
            .iter()
            .filter_map(|c| Some(names.get(*c)?.as_str()))
            .collect()
    };
    names.join(", ")
}
