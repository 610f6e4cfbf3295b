//! YAML text in; a tree of scalars, lists and maps out, every node with the place it was written.
//!
//! The reader is `serde-saphyr`, whose `Spanned` keeps byte places. The tree stays untyped on purpose: a typed `Deserialize` stops at
//! its first fault, while `lower` can walk a tree to its end and report every one. Plain scalars are taken from the source text
//! rather than as numbers, because `1.50` must print as `1.50`.

mod brackets;
mod common;
mod cut;
mod fault;
mod looks;
mod partly;

pub use partly::{Loss, read_partly};

use crate::budgets::{self, Budget};
use crate::finding::Finding;
use crate::parse::rules::{bad_yaml, control_character, over_budget};
use crate::source::{FileId, Span};
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_saphyr::Spanned;
use serde_saphyr::budget::BudgetBreach;
use serde_saphyr::options::DuplicateKeyPolicy;
use std::fmt;

/// A node and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    pub span: Span,
    pub value: Value,
}

/// What a node is.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    Null,
    /// The text as written, without its quotes.
    Scalar(String),
    List(Vec<Node>),
    /// In written order; keys may repeat, which is for the caller to report.
    Map(Vec<(Key, Node)>),
    /// Something that couldn't be read; it has had its finding. Its key is empty if nobody knows it.
    Lost,
}

/// A key and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Key {
    pub span: Span,
    pub text: String,
}

/// The tree as the reader hands it over.
enum Raw {
    Null,
    Text(String),
    /// A plain scalar that YAML takes for a number or truth value; its text is in the source.
    Plain,
    List(Vec<Spanned<Raw>>),
    Map(Vec<(Spanned<String>, Spanned<Raw>)>),
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(RawVisitor)
    }
}

struct RawVisitor;

impl<'de> Visitor<'de> for RawVisitor {
    type Value = Raw;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a scalar, a list or a map")
    }

    fn visit_unit<E>(self) -> Result<Raw, E> {
        Ok(Raw::Null)
    }

    fn visit_bool<E>(self, _: bool) -> Result<Raw, E> {
        Ok(Raw::Plain)
    }

    fn visit_i64<E>(self, _: i64) -> Result<Raw, E> {
        Ok(Raw::Plain)
    }

    fn visit_u64<E>(self, _: u64) -> Result<Raw, E> {
        Ok(Raw::Plain)
    }

    fn visit_i128<E>(self, _: i128) -> Result<Raw, E> {
        Ok(Raw::Plain)
    }

    fn visit_u128<E>(self, _: u128) -> Result<Raw, E> {
        Ok(Raw::Plain)
    }

    fn visit_f64<E>(self, _: f64) -> Result<Raw, E> {
        Ok(Raw::Plain)
    }

    fn visit_str<E>(self, text: &str) -> Result<Raw, E> {
        Ok(Raw::Text(text.to_string()))
    }

    fn visit_string<E>(self, text: String) -> Result<Raw, E> {
        Ok(Raw::Text(text))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Raw, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = seq.next_element()? {
            items.push(item);
        }
        Ok(Raw::List(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Raw, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = map.next_entry()? {
            entries.push(entry);
        }
        Ok(Raw::Map(entries))
    }
}

/// Where a piece of YAML lies in its file.
#[derive(Clone, Copy)]
struct Place<'a> {
    file: FileId,
    text: &'a str,
    /// Byte offset of `text` in the file.
    offset: usize,
}

impl Place<'_> {
    /// The place of a part of the text.
    fn part(&self, range: std::ops::Range<usize>) -> Span {
        Span::new(self.file, self.offset + range.start, self.offset + range.end)
    }

    fn span(&self, location: serde_saphyr::Location) -> Span {
        let start = self.snap(location.span().byte_offset().unwrap_or(0) as usize);
        let end = self.snap(start + location.span().byte_len().unwrap_or(0) as usize);
        Span::new(self.file, self.offset + start, self.offset + end.max(start))
    }

    /// The character at a location's line and column: faults carry those more often than a byte place.
    fn point(&self, location: serde_saphyr::Location) -> Span {
        let line = (location.line() as usize).saturating_sub(1);
        let column = (location.column() as usize).saturating_sub(1);
        let start: usize = self.text.split_inclusive('\n').take(line).map(str::len).sum();
        let rest = self.text.get(start..).unwrap_or("");
        let at = start + rest.chars().take(column).map(char::len_utf8).sum::<usize>();
        let len = self
            .text
            .get(at..)
            .and_then(|t| t.chars().next())
            .filter(|c| *c != '\n')
            .map_or(0, char::len_utf8);
        Span::new(self.file, self.offset + at, self.offset + at + len)
    }

    /// The nearest character boundary at or before an offset.
    fn snap(&self, offset: usize) -> usize {
        let mut at = offset.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        at
    }

    /// The span without the quotes of a quoted scalar and without white space at its ends.
    fn inner(&self, span: Span) -> Span {
        let written = self.written(span);
        let lead = written.len() - written.trim_start().len();
        let trimmed = written.trim();
        let (start, end) = (lead, lead + trimmed.len());
        let quoted = trimmed.len() >= 2
            && ['"', '\'']
                .iter()
                .any(|quote| trimmed.starts_with(*quote) && trimmed.ends_with(*quote));
        if quoted {
            span.slice(start + 1..end - 1)
        } else {
            span.slice(start..end)
        }
    }

    /// Where a text stands. Escapes and line ends within it only ever make it shorter than what is written.
    fn of_text(&self, used: serde_saphyr::Location, defined: serde_saphyr::Location, text: &str) -> Span {
        match used == defined {
            true => self.written_as(self.span(used), text),
            false => self.inner(self.span(used)).uneven(),
        }
    }

    /// Where a text stands that is written here, quotes and all.
    fn written_as(&self, span: Span, text: &str) -> Span {
        let span = self.inner(span);
        match span.range().len() == text.len() {
            true => span,
            false => span.uneven(),
        }
    }

    /// Stretches a container's span to the end of its last child, and over the bracket that closes it.
    fn cover(&self, span: Span, last: Option<Span>) -> Span {
        let end = last.map_or(span.end, |last| last.end.max(span.end));
        let close = match self.written(span).chars().next() {
            Some('[') => ']',
            Some('{') => '}',
            _ => return span.up_to(end),
        };
        let rest = self.text.get(end as usize - self.offset..).unwrap_or("");
        let inner = rest.trim_start_matches(|c: char| c.is_whitespace() || matches!(c, ',' | '"' | '\''));
        let closed = if inner.starts_with(close) {
            end + (rest.len() - inner.len()) as u32 + 1
        } else {
            end
        };
        span.up_to(closed)
    }

    fn written(&self, span: Span) -> &str {
        let range = span.range();
        self.text
            .get(range.start - self.offset..range.end - self.offset)
            .unwrap_or("")
    }

    fn node(&self, raw: Spanned<Raw>) -> Node {
        let span = self.span(raw.referenced);
        match raw.value {
            Raw::Null => Node {
                span: self.inner(span),
                value: Value::Null,
            },
            Raw::Plain => {
                // An alias shows its name at the place of use; the figure itself stands where it was defined.
                let text = self.written(self.span(raw.defined)).trim().to_string();
                Node {
                    span: self.of_text(raw.referenced, raw.defined, &text),
                    value: Value::Scalar(text),
                }
            }
            Raw::Text(text) => Node {
                span: self.of_text(raw.referenced, raw.defined, &text),
                value: Value::Scalar(text),
            },
            Raw::List(items) => {
                let items: Vec<Node> = items.into_iter().map(|i| self.node(i)).collect();
                let span = self.cover(span, items.last().map(|n| n.span));
                Node {
                    span,
                    value: Value::List(items),
                }
            }
            Raw::Map(entries) => {
                let entries: Vec<(Key, Node)> = entries
                    .into_iter()
                    .map(|(key, value)| {
                        let span = self.of_text(key.referenced, key.defined, &key.value);
                        (Key { span, text: key.value }, self.node(value))
                    })
                    .collect();
                let span = self.cover(span, entries.last().map(|(_, n)| n.span));
                Node {
                    span,
                    value: Value::Map(entries),
                }
            }
        }
    }
}

impl Place<'_> {
    /// Findings for characters that no text needs and that only show once escapes are read.
    fn unwanted(&self, node: &Node, findings: &mut Vec<Finding>) {
        let mut look = |span: Span, text: &str| {
            if text.contains(|c: char| !c.is_ascii_graphic()) {
                findings.extend(control_character::written(span, self.written(span), text));
            }
        };
        match &node.value {
            Value::Null | Value::Lost => {}
            Value::Scalar(text) => look(node.span, text),
            Value::List(items) => items.iter().for_each(|item| self.unwanted(item, findings)),
            Value::Map(entries) => {
                entries.iter().for_each(|(key, _)| look(key.span, &key.text));
                entries.iter().for_each(|(_, value)| self.unwanted(value, findings));
            }
        }
    }
}

fn parse(text: &str) -> Result<Spanned<Raw>, serde_saphyr::Error> {
    let options = serde_saphyr::options! {
        duplicate_keys: DuplicateKeyPolicy::PassThrough,
        with_snippet: false,
        // What else the reader bounds is bounded by these.
        budget: serde_saphyr::budget! {
            max_depth: budgets::YAML_DEPTH.most,
            max_nodes: budgets::YAML_NODES.most,
            max_aliases: budgets::YAML_NAMES.most,
            max_anchors: budgets::YAML_NAMES.most,
        },
        alias_limits: serde_saphyr::alias_limits! {
            max_total_replayed_events: budgets::YAML_NODES.most,
        },
    };
    serde_saphyr::from_str_with_options::<Spanned<Raw>>(text, options)
}

/// What of a text goes past a budget, once the reader has given it up for that.
fn over(place: Place, error: &serde_saphyr::Error) -> Option<Finding> {
    let words = || error.to_string().to_lowercase();
    let (budget, count) = match error.without_snippet() {
        serde_saphyr::Error::Budget { breach, .. } => breached(breach)?,
        // What takes the text apart has a bound of its own on brackets, and names for values are followed so far; neither has a name that is kept
        // where the fault lies behind another name.
        _ if words().contains("recursion limit") => (&budgets::YAML_DEPTH, 0),
        _ if words().contains("alias") && ["limit", "exceed", "budget"].iter().any(|word| words().contains(word)) => {
            (&budgets::YAML_NODES, 0)
        }
        _ => return None,
    };
    let start = Span::new(place.file, place.offset, place.offset);
    let span = error.location().map_or(start, |location| place.point(location));
    // Where the reader doesn't say how many there are, there is one too many.
    Some(over_budget::finding(span, budget, count.max(budget.most + 1)))
}

fn breached(breach: &BudgetBreach) -> Option<(&'static Budget, usize)> {
    Some(match breach {
        BudgetBreach::Depth { depth } => (&budgets::YAML_DEPTH, *depth),
        BudgetBreach::Aliases { aliases } | BudgetBreach::AliasAnchorRatio { aliases, .. } => {
            (&budgets::YAML_NAMES, *aliases)
        }
        BudgetBreach::Anchors { anchors } => (&budgets::YAML_NAMES, *anchors),
        BudgetBreach::Nodes { nodes } => (&budgets::YAML_NODES, *nodes),
        BudgetBreach::Events { events } => (&budgets::YAML_NODES, *events),
        BudgetBreach::RecordedAnchorEvents { recorded_anchor_events } => {
            (&budgets::YAML_NODES, *recorded_anchor_events)
        }
        BudgetBreach::ScalarBytes { total_scalar_bytes } => (&budgets::HEAD, *total_scalar_bytes),
        BudgetBreach::InputBytes { input_bytes } => (&budgets::HEAD, *input_bytes),
        // None that these texts can reach, or a fault of another kind, which has words of its own.
        _ => return None,
    })
}

/// The tree of a text that has no fault.
fn whole(place: &Place) -> Result<Node, serde_saphyr::Error> {
    let text = place.text;
    let usual = common::tree(place);
    debug_assert!(
        usual
            .as_ref()
            .is_none_or(|node| parse(text).is_ok_and(|raw| place.node(raw) == *node)),
        "read otherwise by the reader: {text}"
    );
    usual.map_or_else(|| parse(text).map(|raw| place.node(raw)), Ok)
}

/// Reads one document. `offset` is where `text` begins in `file`. An empty document is `Null`.
pub fn read(file: FileId, text: &str, offset: usize) -> (Option<Node>, Vec<Finding>) {
    let place = Place { file, text, offset };
    match whole(&place) {
        Ok(node) => {
            let mut findings = Vec::new();
            place.unwanted(&node, &mut findings);
            (Some(node), findings)
        }
        Err(error) => {
            if let Some(finding) = over(place, &error) {
                return (None, vec![finding]);
            }
            let error = error.without_snippet();
            let span = error
                .location()
                .map_or(Span::new(file, offset, offset), |l| place.point(l));
            (None, vec![bad_yaml::finding(span, &message(error))])
        }
    }
}

/// The reader's sentence without its place, which the finding's span already tells.
fn message(error: &serde_saphyr::Error) -> String {
    let text = error.to_string();
    let text = text.lines().next().unwrap_or("").trim();
    let text = text.strip_prefix("error: ").unwrap_or(text);
    let text = match text.strip_prefix("line ").and_then(|rest| rest.split_once(": ")) {
        Some((_, rest)) => rest,
        None => text,
    };
    text.split(" at line ")
        .next()
        .unwrap_or(text)
        .trim_end_matches('.')
        .to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::FileSet;

    fn tree(text: &str) -> (FileSet, Option<Node>, Vec<Finding>) {
        let files = FileSet::from_texts([("a.yaml", text)]);
        let id = files.find("a.yaml").unwrap();
        let (node, findings) = read(id, text, 0);
        (files, node, findings)
    }

    fn scalars(files: &FileSet, node: &Node, out: &mut Vec<(String, String)>) {
        match &node.value {
            Value::Null | Value::Lost => out.push(("~".into(), files.text(node.span).into())),
            Value::Scalar(text) => out.push((text.clone(), files.text(node.span).into())),
            Value::List(items) => items.iter().for_each(|n| scalars(files, n, out)),
            Value::Map(entries) => entries.iter().for_each(|(k, n)| {
                out.push((k.text.clone(), files.text(k.span).into()));
                scalars(files, n, out);
            }),
        }
    }

    #[test]
    fn every_scalar_knows_its_place_and_keeps_its_digits() {
        let text = "a: 1.50\n\"b\": [12 N·m ± 10 %, 'x''y', yes]\nµ: {d: +90°, e: }\nf: >\n  folded\n  text\na: 2\n";
        let (files, node, findings) = tree(text);
        assert!(findings.is_empty(), "{findings:?}");
        let mut out = Vec::new();
        scalars(&files, &node.unwrap(), &mut out);
        let flat: Vec<(&str, &str)> = out.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
        let plain = ["a", "1.50", "b", "12 N·m ± 10 %"];
        for (pair, want) in flat.iter().zip(plain) {
            assert_eq!(*pair, (want, want));
        }
        assert!(flat.contains(&("x'y", "x''y")), "{flat:?}");
        assert!(flat.contains(&("yes", "yes")));
        assert!(flat.contains(&("+90°", "+90°")));
        assert!(flat.contains(&("~", "")));
        assert!(flat.iter().any(|(t, _)| *t == "folded text\n"));
        assert_eq!(
            flat.iter().filter(|(t, _)| *t == "a").count(),
            2,
            "a repeated key is passed on: {flat:?}"
        );
    }

    #[test]
    fn broken_yaml_is_a_finding_at_its_place() {
        let (files, node, findings) = tree("a: 1\nb: [1, 2\nc: 3\n");
        assert!(node.is_none());
        let place = files
            .get(findings[0].primary.span.file)
            .lines()
            .position("a: 1\nb: [1, 2\nc: 3\n", findings[0].primary.span.start as usize);
        assert!(place.line >= 2, "{place:?} {}", findings[0].message);
    }

    #[test]
    fn an_alias_gives_its_value_and_a_bomb_is_refused() {
        let (_, node, findings) = tree("a: &x 7\nb: *x\n");
        assert!(findings.is_empty(), "{findings:?}");
        let Value::Map(entries) = node.unwrap().value else {
            panic!()
        };
        assert_eq!(entries[1].1.value, Value::Scalar("7".into()));
        let mut bomb = String::from("a: &a [x,x,x,x,x,x,x,x,x,x]\n");
        for (this, last) in ('b'..='j').zip('a'..) {
            bomb +=
                &format!("{this}: &{this} [*{last},*{last},*{last},*{last},*{last},*{last},*{last},*{last},*{last}]\n");
        }
        assert!(!tree(&bomb).2.is_empty());
    }
}
