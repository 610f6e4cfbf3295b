//! What the cards of some files hold: how many of each thing, and every figure.

use super::Checked;
use benchleaf_core::cards;
use benchleaf_core::model::Choices;
use serde_json::Value;
use std::collections::BTreeMap;

/// What is printed.
#[derive(Debug, Default)]
pub struct Printed {
    /// Cards, steps, messages, pictures and rows, by name.
    pub counts: BTreeMap<&'static str, usize>,
    /// Figures in words and tables, with how often each stands there.
    pub figures: BTreeMap<String, usize>,
}

/// Lists whose members are things that a person at the bench would miss.
const THINGS: [&str; 9] = [
    "steps",
    "substeps",
    "messages",
    "torques",
    "measurements",
    "specs",
    "parts",
    "consumables",
    "tools",
];

/// The cards of every set for its default choices.
pub fn printed(checked: &Checked) -> Printed {
    let mut printed = Printed::default();
    let sets = checked.compilation.model.sets.iter().zip(&checked.compilation.facts);
    for (set, facts) in sets {
        let choices = Choices::defaults(&set.catalogue);
        for procedure in set.procedures.ids() {
            *printed.counts.entry("cards").or_default() += 1;
            let card = cards::card(&checked.files, set, facts, procedure, &choices);
            look(&mut printed, &serde_json::to_value(&card).unwrap_or_default());
        }
    }
    printed
}

fn look(printed: &mut Printed, value: &Value) {
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                if let (Some(thing), Value::Array(all)) = (THINGS.iter().find(|thing| *thing == name), value) {
                    // A step that becomes a sub-step keeps its box.
                    let thing = if *thing == "substeps" { "steps" } else { thing };
                    *printed.counts.entry(thing).or_default() += all.len();
                }
                // What is worked out from places, such as a number of a step, is no figure of the author's.
                let is_place = matches!(
                    name.as_str(),
                    "number" | "at" | "since" | "identity" | "position" | "step"
                ) || (name == "steps"
                    && value.as_array().is_some_and(|all| all.iter().all(Value::is_string)));
                if !is_place {
                    look(printed, value);
                }
            }
        }
        Value::Array(all) => all.iter().for_each(|value| look(printed, value)),
        Value::String(text) => {
            let figures = text
                .split(|c: char| !c.is_ascii_digit() && c != '.')
                .map(|word| word.trim_matches('.'));
            for figure in figures.filter(|figure| !figure.is_empty()) {
                *printed.figures.entry(figure.to_string()).or_default() += 1;
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}
