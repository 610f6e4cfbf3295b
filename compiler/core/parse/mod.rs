//! Text in; syntax trees with spans out. Knows nothing of what ids mean.

pub(crate) mod rules;
pub(crate) mod yaml;
pub(crate) mod value;
pub(crate) mod mark;
pub(crate) mod head;
pub(crate) mod body;

use crate::finding::{Finding, Rule};
use crate::source::{FileId, FileSet, SourceFile, Span, file_name};
use crate::syntax::Body;
use head::{ProcedureHead, SetHead, WorkshopHead};
use rules::{bad_yaml, control_character, missing_field, no_steps, not_text, open_front_matter};
use yaml::{Node, Value};

/// Every file of one compilation, read.
#[derive(Debug, Default)]
pub struct Documents {
    pub workshops: Vec<Document<WorkshopHead>>,
    pub sets: Vec<Document<SetHead>>,
    pub procedures: Vec<Procedure>,
}

/// A YAML file.
#[derive(Debug)]
pub struct Document<T> {
    pub file: FileId,
    /// False if its YAML couldn't be read, so that nobody knows what it declares.
    pub readable: bool,
    pub head: T,
}

/// A procedure's file.
#[derive(Debug)]
pub struct Procedure {
    pub file: FileId,
    /// False if its front matter couldn't be read, so that nobody knows what it declares.
    pub readable: bool,
    pub head: ProcedureHead,
    pub body: Body,
}

/// Name of a set's own file.
pub const SET_FILE: &str = "set.yaml";
/// Name of a shop's file.
pub const WORKSHOP_FILE: &str = "workshop.yaml";

/// Reads every file of a set of files; those that are none of ours are left alone.
pub fn parse(files: &FileSet) -> (Documents, Vec<Finding>) {
    let mut documents = Documents::default();
    let mut findings = Vec::new();
    for file in files.ids() {
        let source = files.get(file);
        let mut found = Vec::new();
        match file_name(&source.path) {
            SET_FILE => {
                documents.sets.push(yaml_file(file, source, head::set, &mut found));
            }
            WORKSHOP_FILE => {
                documents
                    .workshops
                    .push(yaml_file(file, source, head::workshop, &mut found));
            }
            _ if source.path.ends_with(".md") => documents.procedures.extend(procedure(file, source, &mut found)),
            _ => continue,
        }
        if found.iter().any(|f| f.rule == &control_character::RULE) {
            // YAML holds none of them either, and says so in other words.
            found.retain(|f| f.rule != &bad_yaml::RULE);
        }
        if let Some(at) = source.broken_at {
            // What is missing may well stand where the text can't be read.
            found.retain(|f| !CUT_SHORT.contains(&f.rule));
            found.push(not_text::finding(Span::new(file, at, at)));
        }
        findings.append(&mut found);
    }
    (documents, findings)
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

/// Reads a YAML text, and says whether it could be read. If not it has had its finding, and that it lacks this and that would be noise.
fn yaml_head<T>(span: Span, text: &str, offset: usize, read: ReadHead<T>, findings: &mut Vec<Finding>) -> (T, bool) {
    let (node, mut found) = yaml::read(span.file, text, offset);
    findings.append(&mut found);
    match node {
        Some(node) => (read(&node, span, findings), true),
        None => (read(&nothing(span), span, &mut Vec::new()), false),
    }
}

fn yaml_file<T>(file: FileId, source: &SourceFile, read: ReadHead<T>, findings: &mut Vec<Finding>) -> Document<T> {
    findings.extend(control_character::check(file, &source.text));
    let (head, readable) = yaml_head(start(file, source), &source.text, 0, read, findings);
    Document {
        file,
        readable: readable && source.broken_at.is_none(),
        head,
    }
}

/// A Markdown file with front matter; `None` if it has none.
fn procedure(file: FileId, source: &SourceFile, findings: &mut Vec<Finding>) -> Option<Procedure> {
    let text = source.text.as_str();
    let front = front_matter(text, source.head().start)?;
    findings.extend(control_character::check(file, text));
    let span = start(file, source);
    let Some((yaml, body)) = front else {
        findings.push(open_front_matter::finding(span));
        return Some(Procedure {
            file,
            readable: false,
            head: ProcedureHead::default(),
            body: Body::default(),
        });
    };
    let (head, readable) = yaml_head(span, &text[yaml.clone()], yaml.start, head::procedure, findings);
    let (body, mut found) = body::read(file, text, body);
    findings.append(&mut found);
    Some(Procedure {
        file,
        readable,
        head,
        body,
    })
}

/// Where the YAML and the body lie, in a text that begins at `start`: `None` without front matter, `Some(None)` if it has no end.
#[allow(clippy::option_option)]
fn front_matter(text: &str, start: usize) -> Option<Option<(std::ops::Range<usize>, usize)>> {
    let mut at = start;
    let mut lines = text[at..].split_inclusive('\n');
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
