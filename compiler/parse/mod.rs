//! Text in; syntax trees with spans out. Knows nothing of what ids mean.

pub mod rules;
pub mod syntax;
pub mod yaml;
pub mod value;
pub mod mark;
pub mod head;
pub mod body;

use crate::finding::Finding;
use crate::source::{FileId, FileSet, Span, file_name};
use head::{ProcedureHead, SetHead, WorkshopHead};
use rules::{not_text, open_front_matter};
use syntax::Body;
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
    pub head: T,
}

/// A procedure's file.
#[derive(Debug)]
pub struct Procedure {
    pub file: FileId,
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
        let text = source.text.as_str();
        match file_name(&source.path) {
            SET_FILE => {
                let node = yaml_file(file, text, &mut findings);
                let head = head::set(&node, start(file), &mut findings);
                documents.sets.push(Document { file, head });
            }
            WORKSHOP_FILE => {
                let node = yaml_file(file, text, &mut findings);
                let head = head::workshop(&node, start(file), &mut findings);
                documents.workshops.push(Document { file, head });
            }
            _ if source.path.ends_with(".md") => documents.procedures.extend(procedure(file, text, &mut findings)),
            _ => continue,
        }
        if let Some(at) = source.broken_at {
            findings.push(not_text::finding(Span::new(file, at, at)));
        }
    }
    (documents, findings)
}

/// The head of a file, for faults that have no better place.
fn start(file: FileId) -> Span {
    Span::new(file, 0, 0)
}

fn yaml_file(file: FileId, text: &str, findings: &mut Vec<Finding>) -> Node {
    let (node, mut found) = yaml::read(file, text, 0);
    findings.append(&mut found);
    node.unwrap_or(Node {
        span: start(file),
        value: Value::Null,
    })
}

/// A Markdown file with front matter; `None` if it has none.
fn procedure(file: FileId, text: &str, findings: &mut Vec<Finding>) -> Option<Procedure> {
    let front = front_matter(text)?;
    let Some((yaml, body)) = front else {
        findings.push(open_front_matter::finding(Span::new(
            file,
            0,
            text.trim_start_matches('\u{feff}').find('\n').unwrap_or(0),
        )));
        return Some(Procedure {
            file,
            head: ProcedureHead::default(),
            body: Body::default(),
        });
    };
    let (node, mut found) = yaml::read(file, &text[yaml.clone()], yaml.start);
    let unreadable = node.is_none();
    findings.append(&mut found);
    let node = node.unwrap_or(Node {
        span: start(file),
        value: Value::Null,
    });
    let mut about_head = Vec::new();
    let head = head::procedure(&node, Span::new(file, 0, 3), &mut about_head);
    // A head that can't be read has had its finding; that it lacks a title would be noise.
    if !unreadable {
        findings.append(&mut about_head);
    }
    let (body, mut found) = body::read(file, text, body);
    findings.append(&mut found);
    Some(Procedure { file, head, body })
}

/// Where the YAML and the body lie: `None` without front matter, `Some(None)` if it has no end.
#[allow(clippy::option_option)]
fn front_matter(text: &str) -> Option<Option<(std::ops::Range<usize>, usize)>> {
    let mut at = if text.starts_with('\u{feff}') {
        '\u{feff}'.len_utf8()
    } else {
        0
    };
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
