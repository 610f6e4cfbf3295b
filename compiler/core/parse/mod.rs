//! Text in; syntax trees with spans out. Knows nothing of what ids mean.

pub(crate) mod rules;
pub(crate) mod yaml;
pub(crate) mod value;
pub(crate) mod mark;
pub(crate) mod head;
pub(crate) mod body;
pub mod files;
mod names;
mod texts;

use crate::finding::{Finding, Rule};
use crate::source::{FileId, FileSet, SET_FILE, SourceFile, Span, WORKSHOP_FILE, file_name, folder, lies_in};
use crate::spread;
use crate::syntax::Body;
use crate::syntax::documents::{Document, Documents, Loss, ProcedureFile, id_of_file};
use crate::syntax::heads::ProcedureHead;
use crate::syntax::is_id;
use crate::syntax::registers::REGISTERS;
use files::{Own, Taken};
use rules::{
    bad_id, bad_yaml, control_character, file_too_long, missing_field, no_steps, not_text, open_front_matter,
    over_budget,
};
use texts::slice;
use yaml::{Node, Value};

/// Fields without whose entries the steps can still be walked: marks that name one do nothing then.
const WALKED_WITHOUT: [&str; 19] = [
    "allow",
    "deny",
    "title",
    "rev",
    "date",
    "about",
    "source",
    "tried",
    "machine",
    "applies-to",
    "notice",
    "shop",
    "temporary",
    "consumables",
    "tools",
    "torques",
    "limits",
    "holds",
    "patterns",
];

/// What couldn't be read of a head.
fn loss(files: &str, lost: Vec<yaml::Loss>, offset: usize) -> Loss {
    let text = |loss: &yaml::Loss| {
        files
            .get(loss.span.start as usize - offset..loss.span.end as usize - offset)
            .unwrap_or("")
    };
    let harmless = |loss: &yaml::Loss| {
        WALKED_WITHOUT.contains(&loss.key.as_str()) || (loss.key == "parts" && !text(loss).contains("replaces"))
    };
    Loss {
        bars_walk: !lost.iter().all(harmless),
        tools: lost.iter().any(|loss| loss.key.is_empty() || loss.key == "tools"),
        unreadable: false,
        spans: lost.into_iter().map(|loss| loss.span).collect(),
    }
}

/// Nothing is known of a file.
fn all_lost(span: Span, source: &SourceFile) -> Loss {
    Loss {
        bars_walk: true,
        tools: true,
        unreadable: source.broken_at.is_some(),
        spans: vec![span],
    }
}

/// Reads every file of a set of files, several at once; those that are none of ours are left alone.
pub fn parse(files: &FileSet) -> (Documents, Vec<Finding>) {
    let sets = files::sets(files);
    let in_set = |path: &str| sets.iter().any(|(_, set)| lies_in(folder(path), set));
    let read = |file: FileId| text(files, file, in_set(&files.get(file).path));
    let mut documents = Documents::default();
    let mut findings = Vec::new();
    let all: Vec<FileId> = files.ids().collect();
    let count = all.len();
    for (read, mut found) in spread::over(all, count, read) {
        documents.append(read);
        findings.append(&mut found);
    }
    findings.append(&mut files::unknown(files));
    (documents, findings)
}

/// Reads one file.
fn text(files: &FileSet, file: FileId, in_set: bool) -> (Documents, Vec<Finding>) {
    let source = files.get(file);
    let mut documents = Documents::default();
    let mut found = Vec::new();
    let (taken, told) = files::taken(file, source, in_set);
    match taken {
        Taken::Set => documents.sets.push(yaml_file(file, source, head::set, &mut found)),
        Taken::Shop => documents
            .workshops
            .push(yaml_file(file, source, head::workshop, &mut found)),
        Taken::Procedure => documents.procedures.extend(procedure(file, source, &mut found)),
        Taken::Misnamed(own) => {
            found.extend(told);
            // Unless there is one under the right name, it is read all the same: what it says is then not also said to be missing.
            let beside = |name: &str| files.find(&join(&source.path, name)).is_none();
            match own {
                Own::Set if beside(SET_FILE) => documents.sets.push(yaml_file(file, source, head::set, &mut found)),
                Own::Shop if beside(WORKSHOP_FILE) => {
                    documents
                        .workshops
                        .push(yaml_file(file, source, head::workshop, &mut found))
                }
                Own::Procedure => documents.procedures.push(unread(file, source)),
                Own::Set | Own::Shop => {}
            }
        }
        Taken::Told => found.extend(told),
        Taken::Picture | Taken::Alone(_) => {
            if !source.path.ends_with(".md") {
                return (documents, found);
            }
            if source.broken_at.is_some() {
                documents.procedures.push(unread(file, source));
            }
        }
    }
    if source.cut {
        found.retain(|f| f.rule != &over_budget::RULE);
        found.push(file_too_long::finding(Span::new(
            file,
            source.text.len(),
            source.text.len(),
        )));
    }
    if found.iter().any(|f| f.rule == &control_character::RULE) {
        // YAML holds none of them either, and says so in other words.
        found.retain(|f| f.rule != &bad_yaml::RULE);
    }
    if let Some(at) = source.broken_at {
        // What is missing may well stand where the text can't be read.
        found.retain(|f| !CUT_SHORT.contains(&f.rule));
        found.push(not_text::finding(Span::new(file, at, at), source.encoding));
    }
    (documents, found)
}

/// The texts outside a set that its own file borrows as procedures; none of any other file.
pub fn borrowed(files: &FileSet, file: FileId) -> Vec<FileId> {
    let source = files.get(file);
    // Most sets borrow nothing: their files are read once, when their turn comes.
    let says = |line: &str| line.trim_end().starts_with("procedures:");
    if file_name(&source.path) != SET_FILE || !source.text.lines().any(says) {
        return Vec::new();
    }
    let (head, ..) = yaml_head(start(file, source), &source.text, 0, head::set, &mut Vec::new());
    let path = |entry: crate::syntax::ties::Shared| crate::source::join(folder(&source.path), &entry.file?.text);
    head.shared
        .into_iter()
        .filter_map(path)
        .filter_map(|path| files.find(&path))
        .collect()
}

/// Faults that a text may have only because it breaks off.
static CUT_SHORT: [&Rule; 4] = [
    &bad_yaml::RULE,
    &missing_field::RULE,
    &no_steps::RULE,
    &open_front_matter::RULE,
];

/// The first line of a file, for faults that have no better place.
fn start(file: FileId, source: &SourceFile) -> Span {
    let line = source.head();
    Span::new(file, line.start, line.end)
}

/// What stands in for a node that can't be read.
fn nothing(span: Span) -> Node {
    Node {
        span,
        value: Value::Null,
    }
}

/// Reads the fields of a head.
type ReadHead<T> = fn(&Node, Span, &mut Vec<Finding>) -> T;

/// Reads a YAML text, and says what is lost of it. What is has had its finding; that it lacks this and that would be noise.
fn yaml_head<T>(
    span: Span,
    text: &str,
    offset: usize,
    read: ReadHead<T>,
    findings: &mut Vec<Finding>,
) -> (T, bool, Loss) {
    let mut partly = yaml::read_partly(span.file, text, offset);
    // What else would be said of a value follows from the quotes round it.
    let odd: Vec<Span> = partly
        .findings
        .iter()
        .map(|f| f.primary.span)
        .filter(|s| s.start < s.end)
        .collect();
    let before = findings.len();
    findings.append(&mut partly.findings);
    let told = findings.len();
    partly.lost.extend(misplaced(&partly.node));
    let readable = partly.lost.is_empty() && matches!(partly.node.value, Value::Map(_) | Value::Null);
    let loss = loss(text, partly.lost, offset);
    let head = read(&partly.node, span, findings);
    let mut n = 0;
    findings.retain(|finding| {
        n += 1;
        let place = finding.primary.span;
        n <= told
            || !odd
                .iter()
                .any(|span| span.start <= place.start && place.end <= span.end)
    });
    debug_assert!(before <= findings.len());
    (head, readable, loss)
}

/// Keys of a head that are none of its fields, and registers that hold no entries: what stands in them is unknown too.
fn misplaced(node: &Node) -> Vec<yaml::Loss> {
    let Value::Map(entries) = &node.value else {
        return Vec::new();
    };
    let is_register = |name: &str| REGISTERS.iter().any(|register| register.field() == name);
    let mut lost = Vec::new();
    for (key, node) in entries {
        let name = key.text.as_str();
        let known = is_register(name) || names::BESIDE_REGISTERS.contains(&name);
        let misread = match &node.value {
            Value::Map(inner) => is_register(name) && inner.iter().any(|(key, node)| head::is_register(key, node)),
            Value::Scalar(_) | Value::List(_) => is_register(name),
            Value::Null | Value::Lost => false,
        };
        if (!known && node.value != Value::Lost) || misread {
            let span = Span::new(
                key.span.file,
                key.span.start as usize,
                node.span.end.max(key.span.end) as usize,
            );
            let key = if known { name.to_string() } else { String::new() };
            lost.push(yaml::Loss { key, span });
        }
    }
    lost
}

fn yaml_file<T>(file: FileId, source: &SourceFile, read: ReadHead<T>, findings: &mut Vec<Finding>) -> Document<T> {
    let place = start(file, source);
    let empty = source
        .text
        .lines()
        .all(|line| line.trim().is_empty() || line.trim_start().starts_with('#'));
    if empty && file_name(&source.path) == SET_FILE && source.broken_at.is_none() {
        findings.push(bad_yaml::empty(place, "`machine:` and `title:`"));
    }
    if empty {
        return Document {
            file,
            readable: file_name(&source.path) != SET_FILE,
            head: read(&nothing(place), place, &mut Vec::new()),
            loss: all_lost(place, source),
        };
    }
    findings.extend(control_character::check(file, &source.text));
    let (head, readable, mut loss) = yaml_head(place, &source.text, 0, read, findings);
    loss.unreadable |= source.broken_at.is_some();
    Document {
        loss,
        file,
        readable: readable && source.broken_at.is_none(),
        head,
    }
}

/// A file beside another one.
fn join(path: &str, name: &str) -> String {
    match folder(path) {
        "" => name.to_string(),
        folder => format!("{folder}/{name}"),
    }
}

/// A procedure that was meant to be one: nothing is known of it but that it is there.
fn unread(file: FileId, source: &SourceFile) -> ProcedureFile {
    ProcedureFile {
        file,
        readable: false,
        loss: all_lost(Span::new(file, 0, source.text.len()), source),
        head: ProcedureHead::default(),
        body: Body::default(),
    }
}

/// A Markdown file with front matter; `None` if it has none.
fn procedure(file: FileId, source: &SourceFile, findings: &mut Vec<Finding>) -> Option<ProcedureFile> {
    let text = source.text.as_str();
    let front = front_matter(text, source.head().start)?;
    findings.extend(control_character::check(file, text));
    let span = start(file, source);
    let Some((yaml, body)) = front else {
        findings.push(open_front_matter::finding(span, fence(file, text, source.head().end)));
        return Some(ProcedureFile {
            file,
            readable: false,
            loss: all_lost(Span::new(file, 0, text.len()), source),
            head: ProcedureHead::default(),
            body: Body::default(),
        });
    };
    let (head, readable, mut loss) = yaml_head(span, slice(text, yaml.clone()), yaml.start, head::procedure, findings);
    loss.unreadable |= source.broken_at.is_some();
    let id = id_of_file(&source.path);
    if head.id.is_none() && readable && !is_id(id) {
        findings.push(bad_id::of_file(span, file_name(&source.path), id));
    }
    let (body, mut found) = body::read(file, text, body);
    loss.unreadable |= found.iter().any(|f| f.rule == &over_budget::RULE);
    findings.append(&mut found);
    Some(ProcedureFile {
        file,
        readable,
        loss,
        head,
        body,
    })
}

/// Where the YAML and the body lie, in a text that begins at `start`: `None` without front matter, `Some(None)` if it has no end.
#[allow(clippy::option_option)]
pub(crate) fn front_matter(text: &str, start: usize) -> Option<Option<(std::ops::Range<usize>, usize)>> {
    let mut at = start;
    let mut lines = slice(text, at..).split_inclusive('\n');
    let first = lines.next()?;
    if first.trim_end() != "---" {
        return None;
    }
    at += first.len();
    let yaml = at;
    for line in lines {
        if matches!(line.trim_end(), "---" | "...") {
            return Some(Some((yaml..at, at + line.len())));
        }
        at += line.len();
    }
    Some(None)
}

/// The first line behind the first that was most likely meant to end the front matter.
fn fence(file: FileId, text: &str, start: usize) -> Option<Span> {
    let mut at = start;
    for line in slice(text, start..).split_inclusive('\n') {
        let words = line.trim();
        if words == "---" || files::is_fence(words) {
            let indent = line.len() - line.trim_start().len();
            return Some(Span::new(file, at, at + indent + words.len()));
        }
        at += line.len();
    }
    None
}
