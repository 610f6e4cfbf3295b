//! What stands in a register, as it was written there.

use crate::model::Name;
use crate::model::Worded;

/// A text that may be left out; empty then.
pub fn text(name: &Option<Name>) -> String {
    name.as_ref().map_or_else(String::new, |n| n.text.clone())
}

/// The words of a value, as written.
pub fn worded<T>(value: &Option<Worded<T>>) -> String {
    value.as_ref().map_or_else(String::new, |v| v.word.text.clone())
}

/// Adds a step's number once.
pub fn push_new(steps: &mut Vec<String>, step: &str) {
    if steps.last().is_none_or(|last| last != step) {
        steps.push(step.to_string());
    }
}
