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

/// The options of a set. Options that several procedures declare alike, by id and values, are one variable: they are chosen together.
#[derive(Debug, Default)]
pub struct Variables {
    all: Vec<Variable>,
    of: BTreeMap<Handle<Choice>, usize>,
}

#[derive(Debug)]
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
            let values: Vec<String> = def.value.values.iter().map(|(v, _)| v.text.clone()).collect();
            let known = variables
                .all
                .iter()
                .position(|v| v.id == def.id.text && v.values == values);
            let index = known.unwrap_or(variables.all.len());
            match variables.all.get_mut(index) {
                Some(variable) => variable.options.push(option),
                None => variables.all.push(Variable {
                    id: def.id.text.clone(),
                    values,
                    options: vec![option],
                }),
            }
            variables.of.insert(option, index);
        }
        variables
    }

    /// How many values a variable has.
    pub fn size(&self, variable: usize) -> usize {
        self.all.get(variable).map_or(0, |v| v.values.len())
    }

    /// A literal as an author writes it: `seals=renew`.
    pub fn words(&self, literal: Literal) -> String {
        let Some(variable) = self.all.get(literal.variable) else {
            return String::new();
        };
        let value = variable.values.get(literal.value).map_or("", String::as_str);
        assigned(&variable.id, value)
    }

    /// The defaults, with these literals in their place.
    pub fn choices(&self, catalogue: &Catalogue, literals: &[Literal]) -> Choices {
        let mut choices = Choices::defaults(catalogue);
        for literal in literals {
            for option in self.all.get(literal.variable).iter().flat_map(|v| &v.options) {
                choices.set(*option, literal.value);
            }
        }
        choices
    }

    /// The value that a variable has under some choices.
    fn value(&self, variable: usize, choices: &Choices) -> Option<usize> {
        Some(choices.value(*self.all.get(variable)?.options.first()?))
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
            let Some(&variable) = variables.of.get(&condition.option) else {
                continue;
            };
            let values: BTreeSet<usize> = condition.values.iter().copied().collect();
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

    /// This guard and another.
    pub fn and_guard(&self, other: &Guard) -> Guard {
        let mut guard = self.clone();
        for (variable, values) in &other.allowed {
            let both = guard
                .allowed
                .get(variable)
                .map_or_else(|| values.clone(), |v| v & values);
            guard.allowed.insert(*variable, both);
        }
        guard.conflict = guard.conflict.or(other.conflict);
        guard
    }

    /// Two conditions that contradict each other, if the guard holds for no choice.
    pub fn conflict(&self) -> Option<(Span, Span)> {
        self.conflict
    }

    /// True if no choice meets it.
    pub fn is_impossible(&self) -> bool {
        self.allowed.values().any(BTreeSet::is_empty)
    }

    /// The values each variable may have, for the variables it asks for.
    pub fn allowed(&self) -> impl DoubleEndedIterator<Item = (usize, &BTreeSet<usize>)> {
        self.allowed.iter().map(|(variable, values)| (*variable, values))
    }

    /// True if the choices meet it.
    pub fn holds(&self, variables: &Variables, choices: &Choices) -> bool {
        self.allowed
            .iter()
            .all(|(variable, values)| variables.value(*variable, choices).is_some_and(|v| values.contains(&v)))
    }
}
