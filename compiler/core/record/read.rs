//! A filled-in record, as written: nothing is judged here.

use super::{Deferral, FORM};
use crate::parse::yaml::{self, Node, Value};
use crate::source::FileSet;
use std::collections::BTreeMap;

/// What somebody wrote, with the line it stands in.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Entry {
    pub text: String,
    pub line: usize,
}

/// The fields of one list entry by name.
pub type Fields = BTreeMap<String, Entry>;

/// A filled-in record.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Filled {
    /// Fields that hold one text: `set`, `procedure`, `serial`, `by` …
    pub head: Fields,
    pub options: Fields,
    /// With the values by place under `values`.
    pub readings: Vec<(Fields, Fields)>,
    pub torques: Vec<Fields>,
    pub timers: Vec<Fields>,
    pub holds: Vec<Fields>,
    pub parts: BTreeMap<String, Vec<Entry>>,
    pub carried: Vec<Fields>,
    pub deferred: Vec<Fields>,
    /// Keys written twice in one place: only one of them can have been read.
    pub twice: Vec<Entry>,
}

impl Filled {
    /// A field of the head; empty if it isn't there.
    pub fn text(&self, field: &str) -> &str {
        text(&self.head, field)
    }

    /// What this record puts off, or leaves undone of what earlier ones did.
    pub fn open(&self) -> Vec<Deferral> {
        let from = self.text("procedure");
        let carried = self.carried.iter().filter(|c| text(c, "done").is_empty());
        let carried = carried.map(|c| deferral(c, text(c, "from")));
        let own = self.deferred.iter().map(|d| deferral(d, from));
        let mut open: Vec<Deferral> = Vec::new();
        // What is put off again replaces what was carried over: its date is the one that counts.
        for found in carried.chain(own).filter(|d| !d.what.is_empty()) {
            open.retain(|d| d.what != found.what);
            open.push(found);
        }
        open
    }
}

/// A field of an entry; empty if it isn't there.
pub fn text<'a>(fields: &'a Fields, field: &str) -> &'a str {
    fields.get(field).map_or("", |e| e.text.as_str())
}

/// The line an entry stands in: that of its first field.
pub fn line(fields: &Fields) -> usize {
    fields.values().map(|e| e.line).min().unwrap_or(0)
}

pub fn deferral(fields: &Fields, from: &str) -> Deferral {
    let of = |field: &str| text(fields, field).to_string();
    Deferral {
        what: of("what"),
        reason: of("reason"),
        due: of("due"),
        from: from.to_string(),
        done: of("done"),
    }
}

/// What earlier records of the machine with that serial number left to be done: soonest due first. A record without a serial
/// number is nobody's.
pub fn carry(records: &[Filled], serial: &str) -> Vec<Deferral> {
    let own = records
        .iter()
        .filter(|r| !serial.is_empty() && same_serial(r.text("serial"), serial));
    let mut open: Vec<Deferral> = own.flat_map(Filled::open).collect();
    open.sort_by(|a, b| (&a.due, &a.what).cmp(&(&b.due, &b.what)));
    open.dedup_by(|a, b| a.what == b.what && a.from == b.from);
    open
}

/// Serial numbers are the same in any case and with any space around them.
pub fn same_serial(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

/// Reads a record.
///
/// # Errors
/// If it is no YAML or no record: one sentence.
pub fn read(source: &str) -> Result<Filled, String> {
    let files = FileSet::from_texts([("record.yaml", source)]);
    let file = files.ids().next().ok_or("there is no text")?;
    let (node, findings) = yaml::read(file, source, 0);
    if let Some(finding) = findings.first() {
        let line = files
            .get(file)
            .lines()
            .position(source, finding.primary.span.start as usize)
            .line;
        return Err(format!("line {line}: {}", finding.message));
    }
    let reader = Reader { files: &files, source };
    let Some(Node {
        value: tree @ Value::Map(fields),
        ..
    }) = &node
    else {
        return Err("this is no job record".to_string());
    };
    let mut filled = Filled::default();
    for (key, node) in fields {
        match (key.text.as_str(), &node.value) {
            ("readings", Value::List(entries)) => filled.readings = entries.iter().map(|n| reader.reading(n)).collect(),
            ("torques", Value::List(entries)) => filled.torques = reader.entries(entries),
            ("timers", Value::List(entries)) => filled.timers = reader.entries(entries),
            ("holds", Value::List(entries)) => filled.holds = reader.entries(entries),
            ("carried", Value::List(entries)) => filled.carried = reader.entries(entries),
            ("deferred", Value::List(entries)) => filled.deferred = reader.entries(entries),
            ("options", _) => filled.options = reader.fields(node),
            ("parts", Value::Map(parts)) => {
                let numbers = |node: &Node| match &node.value {
                    Value::List(items) => items.iter().filter_map(|n| reader.entry(n)).collect(),
                    Value::Null | Value::Lost | Value::Scalar(_) | Value::Map(_) => {
                        reader.entry(node).into_iter().collect()
                    }
                };
                filled.parts = parts
                    .iter()
                    .map(|(key, node)| (key.text.clone(), numbers(node)))
                    .collect();
            }
            (name, _) => {
                filled.head.insert(name.to_string(), reader.any(node));
            }
        }
    }
    reader.twice(tree, &mut filled.twice);
    match filled.text("log") {
        text if text.parse::<u32>() == Ok(FORM) => Ok(filled),
        "" => Err("this is no job record: it has no field `log`".to_string()),
        other => match other.parse::<u32>() {
            Ok(later) if later > FORM => Err(format!(
                "this record is of form {later}, and this program reads form {FORM}: take the benchleaf that began it"
            )),
            _ => Err(format!(
                "`{other}` is no form of a job record: this program reads form {FORM}"
            )),
        },
    }
}

struct Reader<'a> {
    files: &'a FileSet,
    source: &'a str,
}

impl Reader<'_> {
    fn entry(&self, node: &Node) -> Option<Entry> {
        let text = match &node.value {
            Value::Scalar(text) => text.trim().to_string(),
            Value::Null | Value::Lost => String::new(),
            Value::List(_) | Value::Map(_) => return None,
        };
        let file = self.files.get(node.span.file);
        let line = file.lines().position(self.source, node.span.start as usize).line;
        Some(Entry { text, line })
    }

    /// The same of any node: what is no text has none, and yet a line, so that it isn't passed over.
    fn any(&self, node: &Node) -> Entry {
        self.entry(node).unwrap_or_else(|| {
            let file = self.files.get(node.span.file);
            let line = file.lines().position(self.source, node.span.start as usize).line;
            let text = String::new();
            Entry { text, line }
        })
    }

    /// Adds every key that is written twice, at any depth.
    fn twice(&self, value: &Value, found: &mut Vec<Entry>) {
        match value {
            Value::Map(fields) => {
                for (n, (key, node)) in fields.iter().enumerate() {
                    if fields.iter().take(n).any(|(k, _)| k.text == key.text) {
                        let file = self.files.get(key.span.file);
                        let line = file.lines().position(self.source, key.span.start as usize).line;
                        let text = key.text.clone();
                        found.push(Entry { text, line });
                    }
                    self.twice(&node.value, found);
                }
            }
            Value::List(items) => items.iter().for_each(|n| self.twice(&n.value, found)),
            Value::Scalar(_) | Value::Null | Value::Lost => {}
        }
    }

    fn fields(&self, node: &Node) -> Fields {
        let Value::Map(fields) = &node.value else {
            return Fields::new();
        };
        let named = fields.iter().map(|(key, node)| (key.text.clone(), self.any(node)));
        named.collect()
    }

    fn entries(&self, nodes: &[Node]) -> Vec<Fields> {
        nodes.iter().map(|n| self.fields(n)).collect()
    }

    fn reading(&self, node: &Node) -> (Fields, Fields) {
        let Value::Map(fields) = &node.value else {
            return Default::default();
        };
        let values = fields.iter().find(|(key, _)| key.text == "values");
        (
            self.fields(node),
            values.map_or_else(Fields::new, |(_, node)| self.fields(node)),
        )
    }
}
