//! What can be read of a text that has a fault: it is cut into its keys, those that can't be read into their entries, and each is read for
//! itself. What is lost is unknown, not absent.

use super::{Key, Node, Place, Value, cut, fault, looks, message, parse, whole};
use crate::finding::Finding;
use crate::parse::rules::bad_yaml;
use crate::parse::texts::slice;
use crate::source::{FileId, Span};
use std::cell::Cell;

/// Bytes that are read, all in all, to find what is wrong with a text. A file that people write is read some thousand times before.
const GUESSES: usize = 8 << 20;

/// A text of which a part may be lost.
#[derive(Debug)]
pub struct Partly {
    /// What could be read; `Null` if there is nothing.
    pub node: Node,
    pub findings: Vec<Finding>,
    /// What couldn't: keys of the first level with the entry that is lost of them, or without one where the whole is.
    pub lost: Vec<Loss>,
}

/// A piece that couldn't be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Loss {
    /// The key of the first level; empty if nobody knows it.
    pub key: String,
    pub span: Span,
}

/// Reads one document, and where it has a fault, what stands round it: the text is cut into its keys, those that can't be read into their
/// entries, and each is read for itself.
pub fn read_partly(file: FileId, text: &str, offset: usize) -> Partly {
    let place = Place { file, text, offset };
    let whole = match whole(&place) {
        Ok(node) => {
            if !has_tight_key(&node) {
                let mut findings = looks::told(file, text, offset, &node);
                place.unwanted(&node, &mut findings);
                return Partly {
                    findings,
                    node,
                    lost: Vec::new(),
                };
            }
            serde::de::Error::custom("a `:` needs a space behind it")
        }
        Err(error) => error,
    };
    if let Some(finding) = super::over(place, &whole) {
        // Read piece by piece it would only take as long again.
        return Partly {
            node: lost(place.part(0..text.len())),
            findings: vec![finding],
            lost: vec![Loss {
                key: String::new(),
                span: place.part(0..text.len()),
            }],
        };
    }
    let mut reading = Reading {
        place,
        findings: Vec::new(),
        lost: Vec::new(),
        guesses: Cell::new(GUESSES),
    };
    let mut entries = Vec::new();
    let pieces = cut::pieces(text, 0..text.len());
    for (n, piece) in pieces.iter().enumerate() {
        let before = n.checked_sub(1).and_then(|before| pieces.get(before));
        reading.piece(piece, before, &mut entries);
    }
    if reading.findings.is_empty() {
        // Each piece can be read, and they don't fit together.
        let finding = reading.told(0..text.len(), None, &whole);
        reading.findings.push(finding);
        reading.lost.push(Loss {
            key: String::new(),
            span: place.part(0..text.len()),
        });
    }
    Partly {
        node: Node {
            span: place.part(0..text.len()),
            value: Value::Map(entries),
        },
        findings: reading.findings,
        lost: reading.lost,
    }
}

struct Reading<'a> {
    place: Place<'a>,
    findings: Vec<Finding>,
    lost: Vec<Loss>,
    /// Bytes that may still be read to find what is wrong.
    guesses: Cell<usize>,
}

impl Reading<'_> {
    /// Reads a piece of the first level, and adds what it has. `before` is the one above it.
    fn piece(&mut self, piece: &cut::Piece, before: Option<&cut::Piece>, entries: &mut Vec<(Key, Node)>) {
        let error = match self.alone(piece.range.clone()) {
            Ok(mut found) => {
                entries.append(&mut found);
                return;
            }
            Err(error) => error,
        };
        let key = self.key(piece);
        if let Some(fault) = before.and_then(|before| self.outdented(before, piece)) {
            // It belongs to the last entry above, of which then only a part is known.
            self.findings.push(fault);
            let mut name = String::new();
            if let Some((above, node)) = entries.last_mut() {
                name.clone_from(&above.text);
                if let Value::Map(inner) = &mut node.value
                    && let Some((_, last)) = inner.last_mut()
                {
                    last.value = Value::Lost;
                }
            }
            self.lost.push(Loss {
                key: name,
                span: self.place.part(piece.range.clone()),
            });
            return;
        }
        let block = cut::block(self.place.text, piece);
        if let (Some(key), Some(block)) = (&key, block) {
            let inner = cut::pieces(self.place.text, block.clone());
            let read: Vec<_> = inner.iter().map(|entry| self.alone(entry.range.clone())).collect();
            // A block in which nothing can be read is one fault.
            if read.iter().any(Result::is_ok) {
                let mut found = Vec::new();
                let mut told = false;
                for (entry, read) in inner.iter().zip(read) {
                    match read {
                        Ok(mut node) => found.append(&mut node),
                        Err(error) => {
                            told = true;
                            self.lose(entry, &key.text, &error);
                            let key = self.key(entry).unwrap_or(Key {
                                span: self.place.part(entry.range.start..entry.range.start),
                                text: String::new(),
                            });
                            found.push((key.clone(), lost(key.span)));
                        }
                    }
                }
                if !told {
                    let finding = self.told(piece.range.clone(), Some(key), &error);
                    self.findings.push(finding);
                    self.lost.push(Loss {
                        key: key.text.clone(),
                        span: self.place.part(piece.range.clone()),
                    });
                }
                let span = self.place.part(block);
                let value = Value::Map(found);
                entries.push((key.clone(), Node { span, value }));
                return;
            }
        }
        let name = key.as_ref().map_or(String::new(), |key| key.text.clone());
        self.lose(piece, &name, &error);
        let key = key.unwrap_or(Key {
            span: self.place.part(piece.range.start..piece.range.start),
            text: String::new(),
        });
        entries.push((key.clone(), lost(key.span)));
    }

    /// The fault of a piece that can be read together with the one above, once its first line is indented like one there.
    fn outdented(&self, before: &cut::Piece, piece: &cut::Piece) -> Option<Finding> {
        let Place { text, .. } = self.place;
        let fault = fault::outdented(text, before.range.clone(), piece.range.clone(), self.reads())?;
        let change = fault.change.map(|(at, with)| (self.place.part(at), with));
        Some(bad_yaml::fault(
            self.place.part(fault.at),
            &fault.what,
            &fault.help,
            change,
        ))
    }

    fn reads(&self) -> fault::Reads<'_> {
        fault::Reads {
            read: reads,
            file: self.place.file,
            left: &self.guesses,
        }
    }

    /// The entries of a piece that can be read for itself. One with names for values (`*name`) is read with the pieces that give them.
    fn alone(&self, range: std::ops::Range<usize>) -> Result<Vec<(Key, Node)>, serde_saphyr::Error> {
        let Place { file, text, offset } = self.place;
        let piece = slice(text, range.clone());
        if piece.contains('*')
            && let Some(entries) = self.with_anchors(range.clone())
        {
            return Ok(entries);
        }
        let part = Place {
            file,
            text: piece,
            offset: offset + range.start,
        };
        let node = whole(&part)?;
        if has_tight_key(&node) {
            return Err(serde::de::Error::custom("a `:` needs a space behind it"));
        }
        match node.value {
            Value::Map(entries) => Ok(entries),
            Value::Null => Ok(Vec::new()),
            _ => Err(serde::de::Error::custom("no field")),
        }
    }

    fn with_anchors(&self, range: std::ops::Range<usize>) -> Option<Vec<(Key, Node)>> {
        let text = self.place.text;
        // Each time reads most of the text: a file of nothing but such pieces would be read as often as it has them.
        let left = self
            .guesses
            .get()
            .checked_sub(text.len())
            .filter(|_| text.contains('&'))?;
        self.guesses.set(left);
        let keeps =
            |piece: &cut::Piece| slice(text, piece.range.clone()).contains('&') || overlaps(&piece.range, &range);
        let mut kept = String::with_capacity(text.len());
        for piece in cut::pieces(text, 0..text.len()) {
            kept.extend(std::iter::repeat_n(' ', piece.range.start.saturating_sub(kept.len())));
            let words = slice(text, piece.range.clone());
            if keeps(&piece) {
                kept.push_str(words);
            } else {
                kept.extend(words.bytes().map(|b| if b == b'\n' { '\n' } else { ' ' }));
            }
        }
        let Value::Map(entries) = self.place.node(parse(&kept).ok()?).value else {
            return None;
        };
        let start = (self.place.offset + range.start) as u32;
        let end = (self.place.offset + range.end) as u32;
        let inside = |entry: &(Key, Node)| entry.0.span.start >= start && entry.0.span.start < end;
        // An entry of the second level stands in the map of its key.
        let mut found: Vec<(Key, Node)> = Vec::new();
        for entry in entries {
            if inside(&entry) {
                found.push(entry);
            } else if let Value::Map(inner) = entry.1.value {
                found.extend(inner.into_iter().filter(inside));
            }
        }
        Some(found)
    }

    fn key(&self, piece: &cut::Piece) -> Option<Key> {
        let range = piece.key.clone()?;
        Some(Key {
            text: slice(self.place.text, range.clone()).to_string(),
            span: self.place.part(range),
        })
    }

    fn lose(&mut self, piece: &cut::Piece, key: &str, error: &serde_saphyr::Error) {
        // An unknown name for a value is a fault only if nobody gives it.
        let finding = self.told(piece.range.clone(), self.key(piece).as_ref(), error);
        self.findings.push(finding);
        self.lost.push(Loss {
            key: key.to_string(),
            span: self.place.part(piece.range.clone()),
        });
    }

    /// The finding of a piece that can't be read. `key` is what is unknown until it is mended.
    fn told(&self, range: std::ops::Range<usize>, key: Option<&Key>, error: &serde_saphyr::Error) -> Finding {
        let Place { text, .. } = self.place;
        let finding = match fault::find(text, range.clone(), self.reads()) {
            Some(fault) => bad_yaml::fault(
                self.place.part(fault.at),
                &fault.what,
                &fault.help,
                fault.change.map(|(at, with)| (self.place.part(at), with)),
            ),
            None => {
                let error = error.without_snippet();
                let part = Place {
                    text: slice(text, range.clone()),
                    offset: self.place.offset + range.start,
                    ..self.place
                };
                let whole = Span::new(part.file, part.offset, part.offset);
                let span = error.location().map_or(whole, |location| part.point(location));
                bad_yaml::finding(span, &message(error))
            }
        };
        match key {
            Some(key) if finding.primary.span != key.span => finding.also(
                key.span,
                format!("`{}` is unknown until then, and left out of what is checked", key.text),
            ),
            _ => finding,
        }
    }
}

/// True of a text that is a map in which every key is meant as one.
fn reads(file: FileId, text: &str) -> bool {
    let place = Place { file, text, offset: 0 };
    whole(&place).is_ok_and(|node| matches!(node.value, Value::Map(_)) && !has_tight_key(&node))
}

/// True if some key holds `name:{` or `name:[`: to YAML it is one word, and nobody means one by it.
fn has_tight_key(node: &Node) -> bool {
    match &node.value {
        Value::Map(entries) => entries
            .iter()
            .any(|(key, value)| fault::tight_brackets(&key.text).next().is_some() || has_tight_key(value)),
        Value::List(items) => items.iter().any(has_tight_key),
        Value::Null | Value::Scalar(_) | Value::Lost => false,
    }
}

fn overlaps(one: &std::ops::Range<usize>, other: &std::ops::Range<usize>) -> bool {
    one.start < other.end && other.start < one.end
}

fn lost(span: Span) -> Node {
    Node {
        span,
        value: Value::Lost,
    }
}
