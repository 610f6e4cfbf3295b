//! What a file is made of: registers and entries, phases, messages and steps, each with the lines that it takes.

use super::language::language;
use super::place;
use crate::parse::head::probe;
use crate::parse::head::shape::Takes;
use crate::parse::yaml::{Node, Value};
use crate::parse::{body, front_matter, yaml};
use crate::source::{FileId, FileSet, Span};
use crate::syntax::{Block, Inline, LEVELS, Message, Phase};

/// What sort of thing a part of a file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    Field,
    Register,
    Entry,
    Phase,
    Message,
    Step,
}

/// A part of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    pub name: String,
    pub sort: Sort,
    /// All of it.
    pub span: Span,
    /// What to show of it.
    pub head: Span,
    pub parts: Vec<Part>,
}

/// The parts of a file, in order.
pub fn parts(files: &FileSet, file: FileId) -> Vec<Part> {
    let source = files.get(file);
    let mut found = Vec::new();
    if let Some((head, range)) = place::head(source)
        && let Some(text) = source.text.get(range.clone())
    {
        let partly = yaml::read_partly(file, text, range.start);
        found.extend(fields(&partly.node, head));
    }
    if let Some(Some((_, start))) =
        front_matter(&source.text, source.head().start).filter(|_| source.path.ends_with(".md"))
    {
        let (body, _) = body::read(file, &source.text, start);
        found.extend(body.messages.iter().map(|m| message(files, m)));
        let starts: Vec<u32> = body.phases.iter().map(|phase| phase.span.start).collect();
        for (n, phase) in body.phases.iter().enumerate() {
            let end = starts.get(n + 1).copied().unwrap_or(source.text.len() as u32);
            found.push(of_phase(files, n, phase, end));
        }
    }
    found
}

/// The fields of a head, with the entries of its registers.
fn fields(node: &Node, head: probe::Head) -> Vec<Part> {
    let Value::Map(entries) = &node.value else {
        return Vec::new();
    };
    let shape = probe::of(head);
    let one = |(key, node): &(yaml::Key, Node)| {
        let register = matches!(
            shape.field(&key.text).map(|field| &field.takes),
            Some(Takes::Register(..))
        );
        let inner = match &node.value {
            Value::Map(entries) if register => entries.as_slice(),
            _ => &[],
        };
        let entry = |(key, node): &(yaml::Key, Node)| Part {
            name: key.text.clone(),
            sort: Sort::Entry,
            span: over(key.span, node.span),
            head: key.span,
            parts: Vec::new(),
        };
        Part {
            name: key.text.clone(),
            sort: if register { Sort::Register } else { Sort::Field },
            span: over(key.span, node.span),
            head: key.span,
            parts: inner.iter().map(entry).collect(),
        }
    };
    entries
        .iter()
        .filter(|(key, _)| !key.text.is_empty())
        .map(one)
        .collect()
}

/// From the start of one span to the end of another behind it.
fn over(first: Span, last: Span) -> Span {
    first.up_to(last.end.max(first.end))
}

fn message(files: &FileSet, message: &Message) -> Part {
    let tag = LEVELS
        .iter()
        .find(|(_, level)| *level == message.level)
        .map_or("", |(tag, _)| tag);
    let hazard = plain(files, &message.hazard);
    Part {
        name: if hazard.is_empty() {
            tag.to_string()
        } else {
            format!("{tag}: {hazard}")
        },
        sort: Sort::Message,
        span: message.span,
        head: message.span,
        parts: Vec::new(),
    }
}

fn of_phase(files: &FileSet, n: usize, phase: &Phase, end: u32) -> Part {
    let text = files.get(phase.span.file).text.as_str();
    let whole = text.get(phase.span.start as usize..end as usize).unwrap_or("");
    let mut parts: Vec<Part> = phase.messages.iter().map(|m| message(files, m)).collect();
    for (s, step) in phase.steps().enumerate() {
        parts.extend(step.messages.iter().map(|m| message(files, m)));
        let words = step.text.iter().find_map(|block| match block {
            Block::Paragraph { text, .. } => Some(plain(files, text)),
            Block::Figure { .. } | Block::List { .. } | Block::Code { .. } => None,
        });
        parts.push(Part {
            name: format!("{}.{} {}", n + 1, s + 1, words.unwrap_or_default()),
            sort: Sort::Step,
            span: step.span,
            head: step.span,
            parts: Vec::new(),
        });
    }
    let title = plain(files, &phase.title);
    let span = phase.span.start..phase.span.start + whole.trim_end().len() as u32;
    Part {
        name: format!("{} {}", n + 1, if title.is_empty() { "Steps" } else { &title }),
        sort: Sort::Phase,
        span: phase.span.up_to(span.end.max(phase.span.end)),
        head: phase.span,
        parts,
    }
}

/// The words of a run of prose; a mark by what it names.
fn plain(files: &FileSet, inlines: &[Inline]) -> String {
    let one = |inline: &Inline| match inline {
        Inline::Text(text) | Inline::Code(text) => text.clone(),
        Inline::Strong(inner) | Inline::Emphasis(inner) | Inline::Link { text: inner, .. } => plain(files, inner),
        Inline::Mark(mark) => named(files, mark.span),
        Inline::Break => " ".to_string(),
    };
    let text: String = inlines.iter().map(one).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a mark names, if it names anything.
fn named(files: &FileSet, span: Span) -> String {
    let inner = files.text(span).trim_matches(['[', ']']);
    let mut words = inner.split_whitespace();
    let names = words
        .next()
        .and_then(|verb| language().verb(verb))
        .filter(|verb| verb.names.is_some() && !verb.valued);
    names.and_then(|_| words.next()).unwrap_or("").to_string()
}
