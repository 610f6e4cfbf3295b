//! States, actions, timers, hold points and options.

use super::fields::{Fields, key_name, once_each, scalar};
use super::things::hazards;
use super::ties::ties;
use crate::domain::timer::Duration;
use crate::parse::rules::{bad_word, wrong_kind};
use crate::parse::yaml::Value;
use crate::syntax::Name;
use crate::syntax::registers::{Action, Choice, Hold, Span, State, Timer};
use crate::syntax::ties::Tie;

pub(super) fn state(fields: &mut Fields, name: String) -> State {
    let values = fields.names("values");
    fields.require("values", values.first());
    let start = one_of(fields, "start", &values);
    let finish = one_of(fields, "finish", &values);
    let mut perilous = fields.names("unsafe");
    perilous.retain(|value| known(fields, "unsafe", value, &values));
    State {
        name,
        values,
        start,
        finish,
        perilous,
        ties: ties(fields, &[Tie::Each]),
        hazards: hazards(fields),
        note: fields.text("note"),
    }
}

/// A word that must be among the entry's own values.
fn one_of(fields: &mut Fields, field: &'static str, values: &[Name]) -> Option<Name> {
    let text = fields.text(field)?;
    known(fields, field, &text, values).then_some(text)
}

fn known(fields: &mut Fields, field: &'static str, text: &Name, values: &[Name]) -> bool {
    let known = values.is_empty() || values.iter().any(|v| v.text == text.text);
    if !known {
        let words: Vec<&str> = values.iter().map(|v| v.text.as_str()).collect();
        fields.findings().push(bad_word::finding(text, field, &words));
    }
    known
}

pub(super) fn action(fields: &mut Fields, name: String) -> Action {
    Action {
        name,
        ties: ties(fields, &[Tie::Needs, Tie::NeverWith]),
        sets: fields.pairs("sets"),
        hazards: hazards(fields),
        note: fields.text("note"),
    }
}

pub(super) fn timer(fields: &mut Fields, what: String) -> Timer {
    let within = fields.value("within", Duration::parse);
    let at_least = fields.value("at-least", Duration::parse);
    let place = fields.span();
    let span = match (within, at_least) {
        (Some(_), Some(_)) => {
            fields
                .findings()
                .push(wrong_kind::too_many(place, "a timer", &["within", "at-least"]));
            None
        }
        (Some(within), None) => Some(Span::Within(within)),
        (None, Some(at_least)) => Some(Span::AtLeast(at_least)),
        (None, None) => fields.require_one(&["within", "at-least"], None),
    };
    Timer {
        what,
        span,
        ties: ties(fields, &[Tie::Each]),
        note: fields.text("note"),
    }
}

pub(super) fn hold(fields: &mut Fields, what: String) -> Hold {
    Hold {
        what,
        second_person: fields.flag("second-person").unwrap_or(false),
        ties: ties(fields, &[Tie::Needs, Tie::NeverWith]),
        note: fields.text("note"),
    }
}

pub(super) fn option(fields: &mut Fields, what: String) -> Choice {
    let mut values: Vec<(Name, Option<Name>)> = Vec::new();
    if let Some(node) = fields.take("values") {
        let findings = fields.findings();
        match &node.value {
            Value::Map(map) => {
                for (key, value) in once_each(map, findings) {
                    let why = (value.value != Value::Null)
                        .then(|| scalar(value, "the reason for a value", findings))
                        .flatten();
                    values.push((key_name(key), why));
                }
            }
            Value::List(items) => {
                values.extend(
                    items
                        .iter()
                        .filter_map(|n| scalar(n, "values", findings))
                        .map(|name| (name, None)),
                );
            }
            _ => findings.push(wrong_kind::finding(
                node.span,
                "values",
                "a map from value to the reason for it",
            )),
        }
    }
    fields.require("values", values.first());
    let names: Vec<Name> = values.iter().map(|(name, _)| name.clone()).collect();
    let default = one_of(fields, "default", &names);
    Choice {
        what,
        values,
        default,
        ties: ties(fields, &[Tie::Only]),
        note: fields.text("note"),
    }
}
