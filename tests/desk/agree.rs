//! Schemas and readers agree: what the demo sets hold passes both, and of files with one thing changed in each both say the same of their
//! shape. `.ci/schema` holds the schemas against somebody else's validator as well.

use crate::harness::{Files, Outcome, check, desk, fixture, schema};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// Rules on the shape of YAML. A bare figure is a number, and has no unit.
const SHAPE: [&str; 7] = [
    "unknown-field",
    "missing-field",
    "wrong-kind",
    "bad-word",
    "bad-date",
    "bad-id",
    "missing-unit",
];

/// Fields that hold a word which must be among the values of the same entry: no schema can say so.
const OWN: [&str; 3] = ["start", "finish", "default"];

/// A key of a map or a place in a list.
#[derive(Debug, Clone)]
enum Key {
    Name(String),
    At(usize),
}

/// What is done to a place.
const CHANGES: [&str; 11] = [
    "renamed", "spaced", "word", "figure", "truth", "list", "lists", "map", "nothing", "gone", "more",
];

/// The heads of the demo sets and of the manual's examples: what they are, where they stand, what they hold.
fn heads() -> Vec<(&'static str, String, Value)> {
    let mut found = Vec::new();
    let folder = fixture::root().join("procedures");
    for path in fixture::walk(&folder) {
        let name = fixture::name(&path);
        let (kind, text) = match name.as_str() {
            "set.yaml" => ("set", fixture::text(&path)),
            "workshop.yaml" => ("workshop", fixture::text(&path)),
            name if name.ends_with(".md") => {
                let text = fixture::text(&path);
                let head = text.split("---\n").nth(1).expect("a head").to_string();
                ("procedure", head)
            }
            _ => continue,
        };
        found.push((kind, fixture::relative(&path), tree(&text)));
    }
    // Every register has a page with an example; the demo sets don't use all of them.
    for path in fixture::walk(&fixture::root().join("compiler/edge/manual")) {
        let text = fixture::text(&path);
        for block in text.split("\n```").skip(1).step_by(2) {
            let (language, block) = block.split_once('\n').unwrap_or_default();
            let head = block.split("---\n").nth(1).filter(|_| block.starts_with("---\n"));
            let (kind, head) = match (language.split(' ').next(), head) {
                (Some("yaml"), _) if block.starts_with("machine:") => ("set", block),
                (Some("markdown"), Some(head)) => ("procedure", head),
                _ => continue,
            };
            found.push((kind, fixture::relative(&path), tree(head)));
        }
    }
    found
}

fn tree(text: &str) -> Value {
    let options = serde_saphyr::options! { strict_booleans: true };
    serde_saphyr::from_str_with_options(text, options).expect("a head that is meant to compile can be read")
}

/// Every place of a tree below its root.
fn places(tree: &Value, path: &mut Vec<Key>, found: &mut Vec<Vec<Key>>) {
    if !path.is_empty() {
        found.push(path.clone());
    }
    let inner: Vec<(Key, &Value)> = match tree {
        Value::Object(fields) => fields.iter().map(|(name, v)| (Key::Name(name.clone()), v)).collect(),
        Value::Array(items) => items.iter().enumerate().map(|(n, v)| (Key::At(n), v)).collect(),
        _ => Vec::new(),
    };
    for (key, value) in inner {
        path.push(key);
        places(value, path, found);
        path.pop();
    }
}

/// The tree with a place changed; `None` where the change makes no sense.
fn changed(tree: &Value, path: &[Key], change: &str) -> Option<Value> {
    let mut tree = tree.clone();
    let (last, above) = path.split_last()?;
    let mut parent = &mut tree;
    for key in above {
        parent = match key {
            Key::Name(name) => parent.get_mut(name)?,
            Key::At(n) => parent.get_mut(n)?,
        };
    }
    let put = match change {
        "word" => json!("zq"),
        "figure" => json!(12),
        "truth" => json!(true),
        "list" => json!(["zq"]),
        "lists" => json!([["zq"]]),
        "map" => json!({"zq": "zq"}),
        "nothing" => Value::Null,
        "renamed" | "spaced" => {
            let fields = parent.as_object_mut()?;
            let Key::Name(name) = last else { return None };
            let value = fields.remove(name)?;
            fields.insert(if change == "spaced" { "zq x" } else { "zqx" }.to_string(), value);
            return Some(tree);
        }
        "gone" => {
            match (parent, last) {
                (Value::Object(fields), Key::Name(name)) => drop(fields.remove(name)),
                (Value::Array(items), Key::At(n)) => drop(items.remove(*n)),
                _ => return None,
            }
            return Some(tree);
        }
        _ => {
            let place = match last {
                Key::Name(name) => parent.get_mut(name)?,
                Key::At(n) => parent.get_mut(n)?,
            };
            place.as_object_mut()?.insert("zqx".to_string(), json!("zq"));
            return Some(tree);
        }
    };
    *match last {
        Key::Name(name) => parent.get_mut(name)?,
        Key::At(n) => parent.get_mut(n)?,
    } = put;
    Some(tree)
}

/// What the readers say of the shape of a head that stands by itself.
fn told(kind: &str, tree: &Value) -> Vec<String> {
    // What JSON is, YAML is too.
    let text = tree.to_string();
    let (path, text) = match kind {
        "set" => ("set.yaml", text),
        "workshop" => ("workshop.yaml", text),
        _ => ("10-a.md", format!("---\n{text}\n---\n\n1. Look.\n")),
    };
    let plain = [
        ("set.yaml", "machine: A\ntitle: A\n"),
        ("10-a.md", "---\ntitle: A\n---\n\n1. Look.\n"),
    ];
    let mut files: Files = plain
        .map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()))
        .into();
    files.insert(path.to_string(), text.clone().into_bytes());
    let checked = check(&files);
    let own = |at: usize| {
        let before = text[..at]
            .trim_end_matches('"')
            .trim_end_matches(": ")
            .trim_end_matches(':');
        // Those that are unsafe stand in a list.
        let listed = text[..at]
            .rfind("\"unsafe\"")
            .is_some_and(|key| !text[key..at].contains(']'));
        listed || OWN.iter().any(|field| before.ends_with(&format!("\"{field}\"")))
    };
    let findings = checked.compilation.findings.iter().filter(|finding| {
        let span = finding.primary.span;
        let is_shape = match finding.rule.name {
            "bad-word" => !own(span.start as usize),
            // A truth value is no figure; what else is none, a schema doesn't know.
            "bad-value" => ["true", "false"].contains(&checked.files.text(span)),
            name => SHAPE.contains(&name),
        };
        checked.files.get(span.file).path == path && is_shape
    });
    findings.map(|finding| finding.rule.name.to_string()).collect()
}

/// The schemas by the kind of file.
fn schemas() -> BTreeMap<String, Value> {
    let all = desk::schemas().into_iter();
    all.map(|(file, text)| {
        let kind = file.split('.').next().unwrap_or("").to_string();
        (kind, serde_json::from_str(&text).expect("a schema is JSON"))
    })
    .collect()
}

/// Every change at every place, of which every `stride`th is made; `wanted` at least must be refused by both.
pub fn agree(stride: usize, wanted: usize) -> Outcome {
    let schemas = schemas();
    let mut faults = Vec::new();
    let (mut made, mut both, mut turn) = (0, 0, 0);
    for (kind, path, tree) in heads() {
        let schema = &schemas[kind];
        faults.extend(
            schema::faults(schema, &tree)
                .into_iter()
                .map(|fault| format!("{path}: {fault}")),
        );
        let mut all = Vec::new();
        places(&tree, &mut Vec::new(), &mut all);
        for place in all {
            for change in CHANGES {
                turn += 1;
                if turn % stride != 0 {
                    continue;
                }
                let Some(tree) = changed(&tree, &place, change) else {
                    continue;
                };
                made += 1;
                let (by_readers, by_schema) = (told(kind, &tree), schema::faults(schema, &tree));
                both += usize::from(!by_readers.is_empty() && !by_schema.is_empty());
                if by_readers.is_empty() != by_schema.is_empty() {
                    faults.push(format!(
                        "{path}: {change} at {place:?}: the readers say {by_readers:?}, the schema {by_schema:?}"
                    ));
                }
            }
        }
    }
    println!("{made} changes, of which both refuse {both}");
    if both < wanted {
        faults.push(format!("only {both} changes were refused"));
    }
    if faults.is_empty() {
        return Ok(());
    }
    faults.truncate(40);
    Err(faults.join("\n").into())
}

/// What the program starts a record with passes, and a field that is none doesn't.
pub fn records() -> Outcome {
    let schema = &schemas()["record"];
    let started: Map<String, Value> = [("log", json!(1)), ("readings", json!([{"limit": "a", "value": "1"}]))]
        .map(|(name, value)| (name.to_string(), value))
        .into_iter()
        .collect();
    let whole = Value::Object(started);
    let held = schema::faults(schema, &whole);
    if !held.is_empty() {
        return Err(held.join("\n").into());
    }
    for spoilt in [
        json!({"log": 2}),
        json!({}),
        json!({"log": 1, "readings": [{"limit": "a", "vaule": "1"}]}),
        json!({"log": 1, "readings": "one"}),
        json!({"log": 1, "more": "one"}),
    ] {
        if schema::faults(schema, &spoilt).is_empty() {
            return Err(format!("{spoilt} passes").into());
        }
    }
    Ok(())
}
