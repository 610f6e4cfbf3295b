//! Holds values against JSON Schemas: a SARIF log against the published one (`tests/values/sarif-2.1.0.json`, OASIS, draft 7), what authors
//! write against those that the program prints (draft 2020-12, JSON Schema Validation, sections 6 and 7 of the core's applicators).
//!
//! What these schemas use of the drafts is checked here, and a word that isn't known is a fault; of the published one, whose patterns and
//! formats are not checked, words are passed over.

use super::Outcome;
use serde_json::Value;

const SCHEMA: &str = include_str!("../values/sarif-2.1.0.json");

/// Passes if a log holds to the schema.
pub fn holds(log: &str) -> Outcome {
    let (log, schema): (Value, Value) = match (serde_json::from_str(log), serde_json::from_str(SCHEMA)) {
        (Ok(log), Ok(schema)) => (log, schema),
        _ => return Err("no JSON".into()),
    };
    let mut faults = Vec::new();
    let published = Words::Some;
    look(published, &schema, &schema, &log, "log", &mut faults);
    // A schema that lets everything pass would prove nothing.
    let mut spoilt = log.clone();
    spoilt["runs"][0]["results"] = serde_json::json!([{"ruleId": "BL001", "level": "fatal", "message": {}}]);
    let mut wanted = Vec::new();
    look(published, &schema, &schema, &spoilt, "log", &mut wanted);
    if wanted.is_empty() {
        faults.push("a log with a level that is none passes".to_string());
    }
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults.join("\n").into())
    }
}

/// What is wrong with a value by a schema of which every word counts.
pub fn faults(schema: &Value, value: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    look(Words::All, schema, schema, value, "", &mut faults);
    faults
}

/// Which words of a schema are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Words {
    /// All; one that isn't known is a fault.
    All,
    /// Those that are known, without patterns.
    Some,
}

/// Words that say nothing of a value.
const ABOUT: [&str; 2] = ["$schema", "title"];

const KNOWN: [&str; 15] = [
    "additionalProperties",
    "allOf",
    "anyOf",
    "enum",
    "items",
    "maxItems",
    "minItems",
    "minimum",
    "not",
    "pattern",
    "properties",
    "propertyNames",
    "required",
    "type",
    "uniqueItems",
];

fn is_of(value: &Value, kind: &str) -> bool {
    match kind {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        "null" => value.is_null(),
        _ => false,
    }
}

/// Whether a text fits a pattern, of those that the program's schemas have; `None` for any other.
fn fits(pattern: &str, text: &str) -> Option<bool> {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    Some(match pattern {
        r"^\s*\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])\s*$" => {
            let parts: Vec<&str> = text.trim().split('-').collect();
            let within = |part: &str, most: u32| {
                part.len() == 2 && digits(part) && (1..=most).contains(&part.parse().unwrap_or(0))
            };
            matches!(parts[..], [year, month, day] if year.len() == 4 && digits(year) && within(month, 12) && within(day, 31))
        }
        r"^\s*\+?0*[1-9]\d*\s*$" => {
            let text = text.trim();
            let figure = text.strip_prefix('+').unwrap_or(text);
            digits(figure) && figure.bytes().any(|b| b != b'0')
        }
        r"^[^\s!-/:-@\[-`{-~][^\s!-,/:-@\[-^`{-~]*$" => {
            let sign = |c: char| c.is_whitespace() || c.is_ascii_punctuation();
            let mut chars = text.chars();
            chars.next().is_some_and(|first| !sign(first)) && chars.all(|c| !sign(c) || "-._".contains(c))
        }
        r"^([eE][nN]|[dD][eE])([-_].*)?$" => {
            let first = text.split(['-', '_']).next().unwrap_or("");
            ["en", "de"].contains(&first.to_ascii_lowercase().as_str())
        }
        _ => return None,
    })
}

fn look(words: Words, root: &Value, schema: &Value, value: &Value, at: &str, faults: &mut Vec<String>) {
    if words == Words::All {
        let unknown = schema.as_object().into_iter().flat_map(|schema| schema.keys());
        let unknown = unknown.filter(|word| !KNOWN.contains(&word.as_str()) && !ABOUT.contains(&word.as_str()));
        faults.extend(unknown.map(|word| format!("{at}: nobody here knows what `{word}` asks")));
        if let (Some(pattern), Some(text)) = (schema["pattern"].as_str(), value.as_str()) {
            match fits(pattern, text) {
                Some(true) => {}
                Some(false) => faults.push(format!("{at}: `{text}` doesn't fit")),
                None => faults.push(format!("{at}: nobody here reads the pattern {pattern}")),
            }
        }
    }
    if let Some(reference) = schema["$ref"].as_str() {
        match root.pointer(reference.trim_start_matches('#')) {
            Some(target) => look(words, root, target, value, at, faults),
            None => faults.push(format!("{at}: the schema has no {reference}")),
        }
        return;
    }
    let passes = |schema: &Value| {
        let mut inner = Vec::new();
        look(words, root, schema, value, at, &mut inner);
        inner.is_empty()
    };
    let mut fault = |what: &str| faults.push(format!("{at}: {what}"));
    let kinds: Vec<&str> = match &schema["type"] {
        Value::String(kind) => vec![kind],
        Value::Array(kinds) => kinds.iter().filter_map(Value::as_str).collect(),
        _ => Vec::new(),
    };
    if !kinds.is_empty() && !kinds.iter().any(|kind| is_of(value, kind)) {
        fault(&format!("is no {}", kinds.join(" or ")));
        return;
    }
    if schema["enum"].as_array().is_some_and(|all| !all.contains(value)) {
        fault(&format!("{value} is none of {}", schema["enum"]));
    }
    if let (Some(least), Some(number)) = (schema["minimum"].as_f64(), value.as_f64())
        && number < least
    {
        fault(&format!("{number} is below {least}"));
    }
    for name in schema["required"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
    {
        if value.is_object() && value.get(name).is_none() {
            fault(&format!("has no {name}"));
        }
    }
    let any = schema["anyOf"].as_array().or(schema["oneOf"].as_array());
    if any.is_some_and(|any| !any.iter().any(passes)) {
        fault("fits none of the forms that it may have");
    }
    if schema.get("not").is_some_and(passes) {
        fault("is of a form that it may not have");
    }
    for schema in schema["allOf"].as_array().into_iter().flatten() {
        look(words, root, schema, value, at, faults);
    }
    if let Some(fields) = value.as_object() {
        for (name, value) in fields {
            if let Some(names) = schema.get("propertyNames") {
                look(words, root, names, &Value::from(name.as_str()), at, faults);
            }
            match (schema["properties"].get(name), &schema["additionalProperties"]) {
                (Some(schema), _) => look(words, root, schema, value, &format!("{at}.{name}"), faults),
                (None, Value::Bool(false)) => faults.push(format!("{at}: {name} is no property of it")),
                (None, schema @ Value::Object(_)) => look(words, root, schema, value, &format!("{at}.{name}"), faults),
                (None, _) => {}
            }
        }
    }
    if let Some(items) = value.as_array() {
        let count = items.len() as u64;
        let few = schema["minItems"].as_u64().is_some_and(|least| count < least);
        if few || schema["maxItems"].as_u64().is_some_and(|most| count > most) {
            faults.push(format!("{at}: has {count} items"));
        }
        if schema["uniqueItems"] == Value::Bool(true)
            && items.iter().enumerate().any(|(n, item)| items[..n].contains(item))
        {
            faults.push(format!("{at}: an item stands there twice"));
        }
        for (n, item) in items.iter().enumerate() {
            look(words, root, &schema["items"], item, &format!("{at}[{n}]"), faults);
        }
    }
}
