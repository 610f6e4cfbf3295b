//! JSON Schemas (draft 2020-12) of what authors write as YAML, made from the readers' own questions: what a reader asks for is what its
//! schema allows.

use crate::parse::head::probe::{self, Head};
use crate::parse::head::shape::{Field, Inside, Items, Shape, Takes};
use crate::record::fields::{BY_PLACE, LISTS, MAPS, TEXTS};
use serde_json::{Map, Value, json};

/// The dialect, as every schema names it.
const DIALECT: &str = "https://json-schema.org/draft/2020-12/schema";

/// What ids are made of: no space and no sign but `-`, `_` and `.`, of which none comes first. Letters of every script are let through, in
/// words that every dialect of patterns reads alike.
const ID: &str = r"^[^\s!-/:-@\[-`{-~][^\s!-,/:-@\[-^`{-~]*$";

/// A file that has a schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The front matter of a procedure.
    Procedure,
    Set,
    Workshop,
    Record,
}

impl Kind {
    pub const ALL: [Kind; 4] = [Kind::Procedure, Kind::Set, Kind::Workshop, Kind::Record];

    /// The name of the schema's file.
    pub fn file(self) -> &'static str {
        match self {
            Kind::Procedure => "procedure.schema.json",
            Kind::Set => "set.schema.json",
            Kind::Workshop => "workshop.schema.json",
            Kind::Record => "record.schema.json",
        }
    }

    fn title(self) -> &'static str {
        match self {
            Kind::Procedure => "Front matter of a procedure",
            Kind::Set => "set.yaml",
            Kind::Workshop => "workshop.yaml",
            Kind::Record => "Job record",
        }
    }
}

/// The schema of a kind of file, laid out to be read, with a line end.
pub fn schema(kind: Kind) -> String {
    let body = match kind {
        Kind::Procedure => of_shape(probe::of(Head::Procedure)),
        Kind::Set => of_shape(probe::of(Head::Set)),
        Kind::Workshop => of_shape(probe::of(Head::Workshop)),
        Kind::Record => record(),
    };
    let mut whole = Map::new();
    whole.insert("$schema".to_string(), json!(DIALECT));
    whole.insert("title".to_string(), json!(kind.title()));
    if let Value::Object(fields) = body {
        whole.extend(fields);
    }
    // A workshop may be empty; it then is no map to YAML.
    if kind == Kind::Workshop {
        whole.insert("type".to_string(), json!(["object", "null"]));
    }
    format!("{:#}\n", Value::Object(whole))
}

/// One value of any kind; an empty field counts as absent.
fn scalar() -> Value {
    json!({"type": ["string", "number", "boolean", "null"]})
}

/// A map of fields.
fn of_shape(shape: &Shape) -> Value {
    let required = |name: &str| {
        shape
            .required
            .iter()
            .any(|group| matches!(group.as_slice(), [one] if one == name) && !has_instead(shape, name))
    };
    let property = |field: &Field| {
        let schema = of_takes(&field.takes);
        (
            field.name.to_string(),
            if required(field.name) { not_null(schema) } else { schema },
        )
    };
    let properties: Map<String, Value> = shape.fields.iter().map(property).collect();
    let mut out = Map::new();
    let mut put = |key: &str, value: Value| drop(out.insert(key.to_string(), value));
    put("type", json!("object"));
    put("properties", Value::Object(properties));
    put("additionalProperties", json!(false));
    let plain: Vec<&str> = shape
        .required
        .iter()
        .filter_map(|group| group.first())
        .map(String::as_str)
        .filter(|name| required(name))
        .collect();
    if !plain.is_empty() {
        put("required", json!(plain));
    }
    let conditions: Vec<Value> = conditions(shape);
    if !conditions.is_empty() {
        put("allOf", json!(conditions));
    }
    Value::Object(out)
}

fn has_instead(shape: &Shape, name: &str) -> bool {
    shape.instead.iter().any(|(of, _)| of == name)
}

/// What must be there of several, and what may not stand together.
fn conditions(shape: &Shape) -> Vec<Value> {
    // A field that is there and empty is not there.
    let there = |names: &[String]| {
        let each: Map<String, Value> = names
            .iter()
            .map(|name| (name.clone(), json!({"not": {"type": "null"}})))
            .collect();
        json!({"required": names, "properties": each})
    };
    let mut found = Vec::new();
    for group in &shape.required {
        let Some(first) = group.first() else { continue };
        let instead = shape
            .instead
            .iter()
            .filter(|(of, _)| of == first)
            .map(|(_, names)| there(names));
        if group.len() > 1 || has_instead(shape, first) {
            let ways: Vec<Value> = group
                .iter()
                .map(|name| there(std::slice::from_ref(name)))
                .chain(instead)
                .collect();
            found.push(json!({"anyOf": ways}));
        }
    }
    for group in &shape.exclusive {
        for (n, one) in group.iter().enumerate() {
            for other in group.iter().skip(n + 1) {
                found.push(json!({"not": there(&[one.clone(), other.clone()])}));
            }
        }
    }
    found
}

/// The same without an empty value.
fn not_null(mut schema: Value) -> Value {
    if let Some(ways) = schema.get_mut("anyOf").and_then(Value::as_array_mut) {
        ways.retain(|way| *way != json!({"type": "null"}));
        for way in ways {
            *way = not_null(way.take());
        }
        return schema;
    }
    if let Some(words) = schema.get_mut("enum").and_then(Value::as_array_mut) {
        words.retain(|word| !word.is_null());
        return schema;
    }
    if schema.get("type").is_some_and(Value::is_string) {
        return schema;
    }
    if let Some(types) = schema.get_mut("type").and_then(Value::as_array_mut) {
        types.retain(|kind| kind != "null");
        return schema;
    }
    json!({"allOf": [schema, {"not": {"type": "null"}}]})
}

/// What a field may hold.
fn of_takes(takes: &Takes) -> Value {
    match takes {
        Takes::Text | Takes::OwnValue | Takes::Node => scalar(),
        Takes::Date => {
            json!({"type": ["string", "null"], "pattern": r"^\s*\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])\s*$"})
        }
        Takes::Word(words) => word(words),
        Takes::Tag(languages) => json!({"type": ["string", "null"], "pattern": tag(languages)}),
        Takes::Count => any(vec![
            json!({"type": "integer", "minimum": 1}),
            json!({"type": "string", "pattern": r"^\s*\+?0*[1-9]\d*\s*$"}),
            json!({"type": "null"}),
        ]),
        Takes::Value(reads) if reads.bare || reads.dimensions.is_empty() => {
            json!({"type": ["string", "number", "null"]})
        }
        // A number alone has no unit.
        Takes::Value(_) => json!({"type": ["string", "null"]}),
        Takes::Many(one) => {
            let one = of_takes(one);
            any(vec![one.clone(), json!({"type": "array", "items": not_null(one)})])
        }
        Takes::Map(one) => json!({"type": ["object", "null"], "additionalProperties": not_null(of_takes(one))}),
        Takes::Either(ways) => any(ways.iter().map(of_takes).collect()),
        Takes::Entries(shape) => by_id(of_shape(shape)),
        Takes::Register(_, shape) => register(shape),
        Takes::Forms(forms) => {
            let mut ways = vec![json!({"type": "null"})];
            ways.extend(forms.scalar.as_ref().map(|scalar| not_null(of_takes(scalar))));
            ways.extend(forms.list.map(|items| match items {
                Items::Scalars => json!({"type": "array", "items": not_null(scalar())}),
                Items::Counts => json!({"type": "array", "items": not_null(of_takes(&Takes::Count))}),
                Items::Pairs => {
                    let pair = json!({"type": "array", "items": {"type": "string"}, "minItems": 2, "maxItems": 2});
                    json!({"type": "array", "items": pair})
                }
            }));
            ways.extend(forms.map.as_ref().map(|inside| match inside {
                Inside::Shape(shape) => of_shape(shape),
                Inside::Words => json!({"type": "object", "additionalProperties": scalar()}),
            }));
            any(ways)
        }
    }
}

/// One of several schemas.
fn any(ways: Vec<Value>) -> Value {
    json!({"anyOf": ways})
}

/// One of some words; those that YAML 1.2 takes for truth values come as such.
fn word(words: &[String]) -> Value {
    let mut all: Vec<Value> = words.iter().map(|word| json!(word)).collect();
    all.extend(
        words
            .iter()
            .filter_map(|word| word.parse::<bool>().ok())
            .map(Value::from),
    );
    all.push(Value::Null);
    json!({"enum": all})
}

/// Tags that begin with one of some languages, in letters of either case.
fn tag(languages: &[String]) -> String {
    let either = |c: char| format!("[{}{}]", c.to_ascii_lowercase(), c.to_ascii_uppercase());
    let all: Vec<String> = languages
        .iter()
        .map(|language| language.chars().map(either).collect())
        .collect();
    format!("^({})([-_].*)?$", all.join("|"))
}

/// Entries by id, each a map or one value that stands for one of its fields.
fn register(shape: &Shape) -> Value {
    let mut ways = vec![of_shape(shape)];
    let bare = shape.bare.as_deref().and_then(|name| shape.field(name));
    ways.extend(bare.map(|field| not_null(of_takes(&field.takes))));
    if shape.required.is_empty() {
        ways.push(json!({"type": "null"}));
    }
    let entry = if ways.len() == 1 { ways.remove(0) } else { any(ways) };
    by_id(entry)
}

/// A map of ids to such entries.
fn by_id(entry: Value) -> Value {
    json!({"type": ["object", "null"], "propertyNames": {"pattern": ID}, "additionalProperties": entry})
}

/// A job record.
fn record() -> Value {
    let texts = || json!({"type": ["string", "number", "boolean", "null"]});
    let by_word = || json!({"type": "object", "additionalProperties": texts()});
    let mut properties: Map<String, Value> = TEXTS.iter().map(|name| (name.to_string(), texts())).collect();
    properties.insert("log".to_string(), json!({"enum": [1, "1"]}));
    for list in &LISTS {
        let field = |name: &&str| (name.to_string(), if *name == BY_PLACE { by_word() } else { texts() });
        let fields: Map<String, Value> = list.fields.iter().map(field).collect();
        let entry = json!({"type": "object", "properties": fields, "additionalProperties": false});
        properties.insert(
            list.name.to_string(),
            json!({"type": ["array", "null"], "items": entry}),
        );
    }
    let numbers = any(vec![texts(), json!({"type": "array", "items": texts()})]);
    for name in MAPS {
        let of = if name == "parts" { numbers.clone() } else { texts() };
        properties.insert(
            name.to_string(),
            json!({"type": ["object", "null"], "additionalProperties": of}),
        );
    }
    json!({"type": "object", "properties": properties, "additionalProperties": false, "required": ["log"]})
}
