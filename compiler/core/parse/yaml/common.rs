//! The usual case: maps, lists and texts with nothing out of the ordinary about them, built from the events below the reader, which
//! takes half its time. Of anything else (a fault, a name for a value, a tag, a merge, a second document, more than a budget) nothing is
//! given: the reader is asked, and has the words for it. Where both give a tree it is the same, which every test asks of every text.

use super::{Key, Node, Place, Value};
use crate::budgets;
use serde_saphyr::granit_parser::{self, Event, Parser, ScalarStyle};

/// What is open: its place, and what has been read of it.
enum Open {
    List(granit_parser::Span, Vec<Node>),
    Map(granit_parser::Span, Vec<(Key, Node)>, Option<Key>),
}

/// The tree of a text, if it is a usual one.
pub fn tree(place: &Place) -> Option<Node> {
    let options = granit_parser::options! { emit_comments: false };
    let mut open: Vec<Open> = Vec::new();
    let mut whole = None;
    let (mut documents, mut nodes) = (0, 0);
    for next in Parser::new_from_str_with_options(place.text, options) {
        let (event, span) = next.ok()?;
        let node = match event {
            Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => continue,
            Event::DocumentStart(false, None) if documents == 0 => {
                documents += 1;
                continue;
            }
            Event::SequenceStart(_, 0, None) => {
                open.push(Open::List(span, Vec::new()));
                None
            }
            Event::MappingStart(_, 0, None) => {
                open.push(Open::Map(span, Vec::new(), None));
                None
            }
            Event::SequenceEnd | Event::MappingEnd => Some(place.closed(open.pop()?)?),
            Event::Scalar(text, style, 0, None) => {
                let null = style == ScalarStyle::Plain && matches!(&*text, "" | "~" | "null" | "Null" | "NULL");
                let is_key = matches!(open.last(), Some(Open::Map(_, _, None)));
                if is_key && (null || &*text == "<<") {
                    return None;
                }
                let at = place.bytes(span)?;
                if null {
                    Some(Node {
                        span: place.inner(at),
                        value: Value::Null,
                    })
                } else {
                    Some(Node {
                        span: place.written_as(at, &text),
                        value: Value::Scalar(text.into_owned()),
                    })
                }
            }
            _ => return None,
        };
        nodes += 1;
        if nodes > budgets::YAML_NODES.most || open.len() >= budgets::YAML_DEPTH.most {
            return None;
        }
        let Some(node) = node else { continue };
        match open.last_mut() {
            None if whole.is_none() => whole = Some(node),
            None => return None,
            Some(Open::List(_, items)) => items.push(node),
            Some(Open::Map(_, entries, key)) => match (key.take(), node.value) {
                (Some(key), value) => entries.push((key, Node { span: node.span, value })),
                (None, Value::Scalar(text)) => *key = Some(Key { span: node.span, text }),
                (None, _) => return None,
            },
        }
    }
    whole.filter(|_| open.is_empty())
}

impl Place<'_> {
    /// The place of an event.
    fn bytes(&self, span: granit_parser::Span) -> Option<crate::source::Span> {
        let (start, end) = (span.start.byte_offset()?, span.end.byte_offset()?);
        let start = self.snap(start);
        Some(self.part(start..self.snap(end).max(start)))
    }

    /// What has come to its end.
    fn closed(&self, open: Open) -> Option<Node> {
        Some(match open {
            Open::List(span, items) => Node {
                span: self.cover(self.bytes(span)?, items.last().map(|node| node.span)),
                value: Value::List(items),
            },
            Open::Map(_, _, Some(_)) => return None,
            Open::Map(span, entries, None) => Node {
                span: self.cover(self.bytes(span)?, entries.last().map(|(_, node)| node.span)),
                value: Value::Map(entries),
            },
        })
    }
}
