//! The floor of the bench: cards set by hand as simply as they can be (`tests/bench/plain.typ.j2`) say what the real ones say, or their time would
//! be no floor.

use super::{complaints, figures, words};
use crate::harness::fixture;
use crate::printer::{self, squeezed};
use libtest_mimic::Trial;
use std::collections::BTreeMap;

pub fn trial() -> Trial {
    Trial::test("print/set-by-hand-says-the-same", || {
        let template = std::fs::read(fixture::folder("bench").join("plain.typ.j2"))?;
        let templates = BTreeMap::from([("card.typ.j2".to_string(), template)]);
        let checked = printer::demo();
        let mut found = Vec::new();
        for card in printer::cards(&checked) {
            let page = printer::text_by(&templates, &checked, &card)?;
            for step in card.phases.iter().flat_map(|p| &p.runs).flat_map(|run| &run.steps) {
                let sentence: String = step.text.iter().map(words).collect();
                let lacks = |words: &String| !page.contains(&squeezed(words));
                let said = [sentence].into_iter().chain(step.specs.iter().flat_map(figures));
                found.extend(said.filter(lacks).map(|words| format!("{}: no {words}", step.number)));
            }
        }
        complaints(found)
    })
}
