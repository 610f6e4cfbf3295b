//! Holds a SARIF log against its published schema (`tests/values/sarif-2.1.0.json`, OASIS, JSON Schema draft 7).
//!
//! What the schema uses of the draft is checked here: types, properties, items, lengths, ranges, enumerations and references; `format` and
//! `pattern` are not.

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
    look(&schema, &schema, &log, "log", &mut faults);
    // A schema that lets everything pass would prove nothing.
    let mut spoilt = log.clone();
    spoilt["runs"][0]["results"] = serde_json::json!([{"ruleId": "BL001", "level": "fatal", "message": {}}]);
    let mut wanted = Vec::new();
    look(&schema, &schema, &spoilt, "log", &mut wanted);
    if wanted.is_empty() {
        faults.push("a log with a level that is none passes".to_string());
    }
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults.join("\n").into())
    }
}

fn look(root: &Value, schema: &Value, value: &Value, at: &str, faults: &mut Vec<String>) {
    if let Some(reference) = schema["$ref"].as_str() {
        match root.pointer(reference.trim_start_matches('#')) {
            Some(target) => look(root, target, value, at, faults),
            None => faults.push(format!("{at}: the schema has no {reference}")),
        }
        return;
    }
    let mut fault = |what: &str| faults.push(format!("{at}: {what}"));
    if let Some(kind) = schema["type"].as_str() {
        let fits = match kind {
            "object" => value.is_object(),
            "array" => value.is_array(),
            "string" => value.is_string(),
            "boolean" => value.is_boolean(),
            "integer" => value.is_i64() || value.is_u64(),
            "number" => value.is_number(),
            _ => false,
        };
        if !fits {
            fault(&format!("is no {kind}"));
            return;
        }
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
        if value.get(name).is_none() {
            fault(&format!("has no {name}"));
        }
    }
    let any = schema["anyOf"].as_array().or(schema["oneOf"].as_array());
    if let Some(any) = any {
        let fits = any.iter().any(|schema| {
            let mut inner = Vec::new();
            look(root, schema, value, at, &mut inner);
            inner.is_empty()
        });
        if !fits {
            fault("fits none of the forms that it may have");
        }
    }
    if let Some(fields) = value.as_object() {
        for (name, value) in fields {
            match (schema["properties"].get(name), &schema["additionalProperties"]) {
                (Some(schema), _) => look(root, schema, value, &format!("{at}.{name}"), faults),
                (None, Value::Bool(false)) => faults.push(format!("{at}: {name} is no property of it")),
                (None, schema @ Value::Object(_)) => look(root, schema, value, &format!("{at}.{name}"), faults),
                (None, _) => {}
            }
        }
    }
    if let Some(items) = value.as_array() {
        let count = items.len() as u64;
        if schema["minItems"].as_u64().is_some_and(|least| count < least) {
            faults.push(format!("{at}: has {count} items"));
        }
        if schema["uniqueItems"] == Value::Bool(true)
            && items.iter().enumerate().any(|(n, item)| items[..n].contains(item))
        {
            faults.push(format!("{at}: an item stands there twice"));
        }
        for (n, item) in items.iter().enumerate() {
            look(root, &schema["items"], item, &format!("{at}[{n}]"), faults);
        }
    }
}
