//! Sentences in pieces: which fields hold them, the lines that they come to, the pictures among them.

use serde_json::{Map, Value};

use super::node::{Picture, Pointer};

/// Fields that hold sentences in pieces.
const PROSE: &[&str] = &[
    "text",
    "about",
    "intro",
    "consequence",
    "avoid",
    "caption",
    "hazard",
    "title",
];

/// True if a path ends with these fields.
pub fn ends(path: &str, with: &str) -> bool {
    path.strip_suffix(with)
        .is_some_and(|before| before.is_empty() || before.ends_with('.'))
}

/// True for an array that is sentences in pieces.
pub fn is_prose(path: &str, items: &[Value]) -> bool {
    PROSE.iter().any(|with| ends(path, with)) && items.iter().all(|item| item.get("kind").is_some())
}

/// The lines of prose: one a paragraph, item or caption; inlines are one line, cut at its breaks.
pub fn lines(items: &[Value]) -> Vec<String> {
    let kind = |item: &Value| item.get("kind").and_then(Value::as_str).unwrap_or_default().to_string();
    let is_block = |item: &Value| {
        matches!(kind(item).as_str(), "paragraph" | "figure" | "list" | "code") && {
            // Code among words is a piece of a line, code by itself a block: only a block is never beside words.
            kind(item) != "code"
                || items
                    .iter()
                    .all(|other| matches!(kind(other).as_str(), "paragraph" | "figure" | "list" | "code"))
        }
    };
    let array = |item: &Value, field: &str| item.get(field).and_then(Value::as_array).cloned().unwrap_or_default();
    let mut found = Vec::new();
    if items
        .iter()
        .any(|item| matches!(kind(item).as_str(), "paragraph" | "figure" | "list"))
        || items.iter().all(is_block)
    {
        for item in items {
            match kind(item).as_str() {
                "paragraph" => found.extend(lines_of(&array(item, "text"))),
                "figure" => {
                    let number = item.get("number").map(ToString::to_string).unwrap_or_default();
                    found.push(number);
                    found.extend(lines_of(&array(item, "caption")));
                    found.extend(pointers(item).map(|pointer| format!("{} {}", pointer.label, pointer.name)));
                }
                "list" => {
                    for entry in array(item, "items") {
                        found.extend(lines(entry.as_array().map(Vec::as_slice).unwrap_or_default()));
                    }
                }
                _ => {
                    let text = item.get("text").and_then(Value::as_str).unwrap_or_default();
                    found.extend(text.lines().map(str::to_string));
                }
            }
        }
    } else {
        found.extend(lines_of(items));
    }
    found.retain(|line| !line.trim().is_empty());
    found
}

/// Words that stand beside each other, however they are set.
fn lines_of(inlines: &[Value]) -> Vec<String> {
    let mut text = String::new();
    gather(inlines, &mut text);
    text.split('\n').map(str::to_string).collect()
}

fn gather(inlines: &[Value], text: &mut String) {
    for inline in inlines {
        match inline.get("text") {
            Some(Value::String(words)) => text.push_str(&words.replace('\n', " ")),
            Some(Value::Array(inner)) => gather(inner, text),
            // A break.
            _ => text.push('\n'),
        }
    }
}

/// The pointers into a picture.
fn pointers(figure: &Value) -> impl Iterator<Item = Pointer> {
    let all = figure.get("points").and_then(Value::as_array).into_iter().flatten();
    all.map(|point| {
        let text = |field: &str| point.get(field).and_then(Value::as_str).unwrap_or_default().to_string();
        let share = |field: &str| point.get(field).and_then(Value::as_f64).unwrap_or_default();
        Pointer {
            label: text("label"),
            name: text("name"),
            at: (share("across"), share("up")),
        }
    })
}

/// The pictures among the words of an item.
pub fn pictures(path: &str, map: &Map<String, Value>) -> Vec<Picture> {
    let mut found = Vec::new();
    for (field, value) in map {
        if let Value::Array(items) = value
            && is_prose(&format!("{path}.{field}"), items)
        {
            figures(items, &mut found);
        }
    }
    found
}

fn figures(items: &[Value], found: &mut Vec<Picture>) {
    for item in items {
        match item.get("kind").and_then(Value::as_str) {
            Some("figure") => found.push(Picture {
                path: item.get("path").and_then(Value::as_str).unwrap_or_default().to_string(),
                pointers: pointers(item).collect(),
            }),
            Some("list") => {
                let entries = item.get("items").and_then(Value::as_array).into_iter().flatten();
                for entry in entries.filter_map(Value::as_array) {
                    figures(entry, found);
                }
            }
            _ => {}
        }
    }
}
