//! Options as variables, and the conditions on them under which something happens.

use crate::model::registers::Choice;
use crate::model::{Catalogue, Choices, Condition, Handle, assigned};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// One value of one option, by the variable that stands for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Literal {
    /// Which variable of [`Variables`].
    pub variable: usize,
    /// Index into the option's values.
    pub value: usize,
}

/// The options of a set, and the answers that its steps ask for. Options that several procedures declare by the same id are one variable,
/// in whatever order they list its values: they are chosen together.
#[derive(Debug, Default, Clone)]
pub struct Variables {
    all: Vec<Variable>,
    /// By option: its variable, and which value of that each of its own is.
    of: BTreeMap<Handle<Choice>, (usize, Vec<usize>)>,
}

#[derive(Debug, Clone)]
struct Variable {
    id: String,
    values: Vec<String>,
    options: Vec<Handle<Choice>>,
}

impl Variables {
    /// The options of a catalogue, in its order.
    pub fn new(catalogue: &Catalogue) -> Variables {
        let mut variables = Variables::default();
        for (option, def) in catalogue.options.iter() {
            let known = variables.all.iter().position(|v| v.id == def.id.text);
            let index = known.unwrap_or(variables.all.len());
            if known.is_none() {
                variables.all.push(Variable {
                    id: def.id.text.clone(),
                    values: Vec::new(),
                    options: Vec::new(),
                });
            }
            let Some(variable) = variables.all.get_mut(index) else {
                continue;
            };
            variable.options.push(option);
            let mut places = Vec::new();
            for (value, _) in &def.value.values {
                let place = variable.values.iter().position(|v| *v == value.text);
                places.push(place.unwrap_or(variable.values.len()));
                if place.is_none() {
                    variable.values.push(value.text.clone());
                }
            }
            variables.of.insert(option, (index, places));
        }
        variables
    }

    /// A variable for something that turns out at the bench, after all that there are.
    pub fn answer(&mut self, id: String, values: Vec<String>) -> usize {
        self.all.push(Variable {
            id,
            values,
            options: Vec::new(),
        });
        self.all.len() - 1
    }

    /// Every variable.
    pub fn each(&self) -> std::ops::Range<usize> {
        0..self.all.len()
    }

    /// How many values a variable has.
    pub fn size(&self, variable: usize) -> usize {
        self.all.get(variable).map_or(0, |v| v.values.len())
    }

    /// A literal as an author writes it: `seals=renew`; of an answer `play out`.
    pub fn words(&self, literal: Literal) -> String {
        let Some(variable) = self.all.get(literal.variable) else {
            return String::new();
        };
        let value = variable.values.get(literal.value).map_or("", String::as_str);
        match variable.options.is_empty() {
            false => assigned(&variable.id, value),
            true => format!("{} {value}", variable.id).trim().to_string(),
        }
    }

    /// The variable of an option, and which of its values some of the option's own are.
    pub fn values(&self, option: Handle<Choice>, own: &[usize]) -> Option<(usize, BTreeSet<usize>)> {
        let (variable, places) = self.of.get(&option)?;
        let values = own.iter().filter_map(|value| places.get(*value).copied()).collect();
        Some((*variable, values))
    }

    /// The options that a variable stands for.
    pub fn options(&self, variable: usize) -> &[Handle<Choice>] {
        self.all.get(variable).map_or(&[], |v| &v.options)
    }

    /// The value that a variable has under some choices.
    pub fn value(&self, variable: usize, choices: &Choices) -> Option<usize> {
        let option = self.all.get(variable)?.options.first()?;
        let (_, places) = self.of.get(option)?;
        places.get(choices.value(*option)).copied()
    }
}

/// When something happens: every variable named has one of its values. No variable: always.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Guard {
    allowed: BTreeMap<usize, BTreeSet<usize>>,
    /// The two conditions that no choice meets together, or the same one twice if no value meets it.
    conflict: Option<(Span, Span)>,
    /// Where each variable was last asked for.
    asked: BTreeMap<usize, Span>,
}

impl Guard {
    /// This guard and some conditions besides.
    pub fn and(&self, variables: &Variables, conditions: &[Condition]) -> Guard {
        let mut guard = self.clone();
        for condition in conditions {
            let Some((variable, values)) = variables.values(condition.option, &condition.values) else {
                continue;
            };
            let allowed = match guard.allowed.get(&variable) {
                Some(before) => before & &values,
                None => values,
            };
            let before = guard.asked.insert(variable, condition.span).unwrap_or(condition.span);
            if allowed.is_empty() {
                guard.conflict.get_or_insert((before, condition.span));
            }
            guard.allowed.insert(variable, allowed);
        }
        guard
    }

    /// Two conditions that contradict each other, if the guard holds for no choice.
    pub fn conflict(&self) -> Option<(Span, Span)> {
        self.conflict
    }

    /// The values each variable may have, for the variables it asks for.
    pub fn allowed(&self) -> impl DoubleEndedIterator<Item = (usize, &BTreeSet<usize>)> {
        self.allowed.iter().map(|(variable, values)| (*variable, values))
    }
}
