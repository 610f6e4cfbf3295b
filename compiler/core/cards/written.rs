//! What stands in a register, as it was written there.

use super::card::StepAt;
use super::value::Value;
use crate::model::{Name, StepNumber, Worded};

/// A text that may be left out; empty then.
pub fn text(name: &Option<Name>) -> String {
    name.as_ref().map_or_else(String::new, |n| n.text.clone())
}

/// The words of a value as written, and the one spelling that is compared.
pub fn worded<T>(value: &Option<Worded<T>>, canon: impl Fn(&T) -> String) -> Value {
    let named = |v: &Worded<T>| Value::named(v.word.text.clone(), canon(&v.value));
    value.as_ref().map_or_else(Value::default, named)
}

/// Adds a step once.
pub fn push_step(steps: &mut Vec<StepAt>, step: StepNumber) {
    let step = StepAt::here(step);
    if steps.last().is_none_or(|last| last.number() != step.number()) {
        steps.push(step);
    }
}
