//! Options: what a condition asks, and what has been chosen.

use super::catalogue::{Catalogue, Handle};
use crate::source::Span;
use crate::syntax::registers::Choice;
use crate::words::{Phrase, phrase, say};
use std::collections::BTreeMap;

/// Holds if the option has one of the values.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Condition {
    pub option: Handle<Choice>,
    /// Indices into the option's values.
    pub values: Vec<usize>,
    pub span: Span,
}

impl Condition {
    /// In words: `seals = renew or keep`.
    pub fn words(&self, catalogue: &Catalogue) -> Phrase {
        let def = catalogue.options.get(self.option);
        let value = |v: &usize| Some(def.value.values.get(*v)?.0.text.as_str());
        equals(&def.id.text, self.values.iter().filter_map(value))
    }
}

/// An option and the values of it that are meant, in words: `seals = renew or keep`.
pub fn equals<'a>(option: &str, values: impl IntoIterator<Item = &'a str>) -> Phrase {
    let either = values.into_iter().map(Phrase::from).reduce(say::or);
    phrase!(option, " = ", either.unwrap_or_default())
}

/// A choice as it is written in a mark and on the command line: `seals=renew`.
pub fn assigned(option: &str, value: &str) -> String {
    format!("{option}={value}")
}

/// Such choices in a line: `lubricant=mineral, seals=renew`.
pub fn all_assigned<'a>(choices: impl IntoIterator<Item = (&'a str, &'a str)>) -> String {
    let words: Vec<String> = choices
        .into_iter()
        .map(|(option, value)| assigned(option, value))
        .collect();
    words.join(", ")
}

/// One value for every option of a set.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Choices {
    /// By option: the index of its value, and whether somebody chose it.
    chosen: BTreeMap<usize, (usize, bool)>,
}

/// A choice that no option can take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownValue {
    pub option: String,
    pub value: String,
    /// What the option does take.
    pub values: Vec<String>,
}

impl Choices {
    /// Every option at its default; at its first value where it names none.
    pub fn defaults(catalogue: &Catalogue) -> Choices {
        let value = |option: &Choice| {
            let default = option.default.as_ref()?;
            option.values.iter().position(|(v, _)| v.text == default.text)
        };
        let chosen = catalogue
            .options
            .iter()
            .map(|(h, def)| (h.index(), (value(&def.value).unwrap_or(0), false)));
        Choices {
            chosen: chosen.collect(),
        }
    }

    /// Sets every option of that id, whichever procedures declare it. Says whether there is one.
    ///
    /// # Errors
    /// If an option of that id doesn't take the value.
    pub fn choose(&mut self, catalogue: &Catalogue, option: &str, value: &str) -> Result<bool, UnknownValue> {
        let mut found = false;
        for (handle, def) in catalogue.options.iter().filter(|(_, def)| def.id.text == option) {
            let Some(index) = def.value.values.iter().position(|(v, _)| v.text == value) else {
                let values = def.value.values.iter().map(|(v, _)| v.text.clone()).collect();
                return Err(UnknownValue {
                    option: option.to_string(),
                    value: value.to_string(),
                    values,
                });
            };
            self.chosen.insert(handle.index(), (index, true));
            found = true;
        }
        Ok(found)
    }

    /// Sets one option to the value of that index.
    pub fn set(&mut self, option: Handle<Choice>, value: usize) {
        self.chosen.insert(option.index(), (value, true));
    }

    /// Index of the option's value.
    pub fn value(&self, option: Handle<Choice>) -> usize {
        self.chosen.get(&option.index()).map_or(0, |(value, _)| *value)
    }

    /// True if somebody chose it, false if it is the default.
    pub fn explicit(&self, option: Handle<Choice>) -> bool {
        self.chosen.get(&option.index()).is_some_and(|(_, explicit)| *explicit)
    }

    /// True if a condition holds.
    pub fn meets(&self, condition: &Condition) -> bool {
        condition.values.contains(&self.value(condition.option))
    }

    /// True if every condition holds.
    pub fn meet(&self, conditions: &[Condition]) -> bool {
        conditions.iter().all(|c| self.meets(c))
    }
}
