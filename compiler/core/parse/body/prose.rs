//! Runs of prose: text, emphasis, links, pictures, and the bracketed marks between them.
//!
//! Marks are found in the source text under the parser's text events, not by the parser's link rules: two marks may touch
//! (`[fit a][torque b]`), which Markdown would read as one link.

use super::Reader;
use crate::parse::mark;
use crate::parse::rules::{bad_mark_arguments, mark_taken_as_link};
use crate::parse::texts::slice;
use crate::source::Span;
use crate::syntax::{Block, Inline, Mark, Name, Verb};
use pulldown_cmark::{CowStr, Event, LinkType, Tag, TagEnd};
use std::ops::Range;

/// True if a link with this text and address was meant as a mark: its text can be read as one, or starts like one and the address looks
/// like no address.
pub fn meant_as_mark(span: Span, inner: &str, address: &str) -> bool {
    starts_with_verb(inner) && (mark::read(span, inner).is_ok() || !address.contains(['.', '/', '#', ':']))
}

/// True if a bracket with this inside starts like a mark.
fn starts_with_verb(inner: &str) -> bool {
    let word = inner.split_whitespace().next().unwrap_or("");
    Verb::of(word).is_some() && inner.trim() != word
}

/// True if what follows an opening bracket begins with a verb, so that it was meant as a mark.
fn begins_with_verb(rest: &str) -> bool {
    let word = rest.split_whitespace().next().unwrap_or("");
    Verb::of(word.trim_end_matches('\\')).is_some()
}

type Pieces<'a> = Vec<(Range<usize>, CowStr<'a>)>;

impl<'a> Reader<'a> {
    /// Prose up to the next block event, as a paragraph followed by its figures.
    pub(super) fn paragraph(&mut self) -> Vec<Block> {
        let from = self.at;
        let (text, figures) = self.inlines(false);
        let mut blocks = Vec::new();
        if !text.is_empty() {
            let span = self.span(self.taken(from..self.at));
            blocks.push(Block::Paragraph { span, text });
        }
        blocks.extend(figures);
        blocks
    }

    /// Inline events up to the first that isn't one; with `one_line`, up to the end of the line.
    pub(super) fn inlines(&mut self, one_line: bool) -> (Vec<Inline>, Vec<Block>) {
        let mut out = Vec::new();
        let mut figures = Vec::new();
        let mut pieces: Pieces = Vec::new();
        loop {
            let (event, range) = match self.events.get(self.at) {
                Some((Event::Text(text), range)) => {
                    pieces.push((range.clone(), text.clone()));
                    self.advance();
                    continue;
                }
                Some(other) => other.clone(),
                None => break,
            };
            match event {
                Event::SoftBreak if one_line && self.in_mark(&pieces) => pieces.push((range, CowStr::Borrowed(" "))),
                Event::SoftBreak | Event::HardBreak if one_line => break,
                Event::SoftBreak => pieces.push((range, CowStr::Borrowed(" "))),
                Event::HardBreak => {
                    self.flush(&mut pieces, &mut out);
                    out.push(Inline::Break);
                }
                Event::Code(code) => {
                    self.flush(&mut pieces, &mut out);
                    out.push(Inline::Code(code.to_string()));
                }
                Event::InlineHtml(_) => {
                    self.flush(&mut pieces, &mut out);
                    self.html(range);
                }
                Event::Start(tag @ (Tag::Emphasis | Tag::Strong | Tag::Link { .. } | Tag::Image { .. })) => {
                    self.flush(&mut pieces, &mut out);
                    self.advance();
                    self.span_of_prose(tag, range, &mut out, &mut figures);
                    continue;
                }
                _ => break,
            }
            self.advance();
        }
        self.flush(&mut pieces, &mut out);
        (out, figures)
    }

    /// Emphasis, a link or a picture whose start event is behind us.
    fn span_of_prose(&mut self, tag: Tag<'a>, range: Range<usize>, out: &mut Vec<Inline>, figures: &mut Vec<Block>) {
        let (text, mut inner_figures) = self.inlines(false);
        figures.append(&mut inner_figures);
        match tag {
            Tag::Emphasis => {
                self.close(TagEnd::Emphasis);
                out.push(Inline::Emphasis(text));
            }
            Tag::Strong => {
                self.close(TagEnd::Strong);
                out.push(Inline::Strong(text));
            }
            Tag::Link {
                link_type, dest_url, ..
            } => {
                self.close(TagEnd::Link);
                let inner = slice(self.src, range.clone()).trim_start_matches('[');
                let inner = inner.split_once(']').map_or("", |(inner, _)| inner);
                let span = self.span(range);
                if link_type == LinkType::Inline && meant_as_mark(span, inner, &dest_url) {
                    self.findings.push(mark_taken_as_link::finding(span, inner));
                }
                out.push(Inline::Link {
                    text,
                    url: dest_url.to_string(),
                });
            }
            Tag::Image { dest_url, .. } => {
                self.close(TagEnd::Image);
                let written = slice(self.src, range.clone());
                // An address that isn't written here word for word (by reference, with entities) is shown by the whole picture.
                let address = written.rsplit_once("](").map_or("", |(_, address)| address);
                let at = address
                    .find(dest_url.as_ref())
                    .filter(|_| !dest_url.is_empty())
                    .map(|at| range.end - address.len() + at);
                let path_span = self.span(at.map_or(range.clone(), |at| at..at + dest_url.len()));
                let path = Name {
                    text: dest_url.to_string(),
                    span: path_span,
                };
                figures.push(Block::Figure {
                    span: self.span(range),
                    path,
                    caption: text,
                });
            }
            _ => {}
        }
    }

    /// Turns collected text into plain text and marks.
    fn flush(&mut self, pieces: &mut Pieces<'a>, out: &mut Vec<Inline>) {
        let mut plain = String::new();
        // The last open bracket: its place in the source, and how long the plain text was before it.
        let mut open: Option<(usize, usize)> = None;
        for (range, text) in pieces.drain(..) {
            if slice(self.src, range.clone()) != &*text {
                plain.push_str(&text);
                continue;
            }
            // Where what is not yet in `plain` begins.
            let mut from = 0;
            for (i, bracket) in brackets(&text) {
                let at = range.start + i;
                // A backslash before the piece is not part of it; one inside is plain text. Only a bracket asks for it: a row of backslashes
                // is a piece each.
                if i == 0 && backslashes(self.src, at) % 2 == 1 {
                    continue;
                }
                match (bracket, open) {
                    (b'[', _) => {
                        plain.push_str(slice(&text, from..i));
                        from = i;
                        open = Some((at, plain.len()));
                    }
                    (_, Some((start, len))) => {
                        open = None;
                        if let Some(mark) = self.mark(start..at + 1) {
                            plain.truncate(len);
                            push_text(&mut plain, out);
                            out.push(Inline::Mark(Box::new(mark)));
                            from = i + 1;
                        }
                    }
                    (_, None) => {}
                }
            }
            plain.push_str(slice(&text, from..));
        }
        if let Some((start, _)) = open {
            let line = slice(self.src, start + 1..).lines().next().unwrap_or("").trim_end();
            if begins_with_verb(line) {
                let close = line.find(']').filter(|at| backslashes(line, *at).is_multiple_of(2));
                self.findings.push(match close {
                    Some(at) => bad_mark_arguments::markup(self.span(start..start + 1 + at + 1)),
                    None => bad_mark_arguments::unclosed(self.span(start..start + 1 + line.len())),
                });
            }
        }
        push_text(&mut plain, out);
    }

    /// True if a mark has begun in these pieces and not ended: it may be wrapped over the end of the line.
    fn in_mark(&self, pieces: &Pieces<'a>) -> bool {
        let mut open = None;
        for (range, text) in pieces {
            if slice(self.src, range.clone()) != &**text {
                continue;
            }
            for (i, bracket) in brackets(text) {
                let at = range.start + i;
                match bracket {
                    b'[' if !(i == 0 && backslashes(self.src, at) % 2 == 1) => open = Some(at),
                    b']' => open = None,
                    _ => {}
                }
            }
        }
        open.is_some_and(|at| begins_with_verb(slice(self.src, at + 1..)))
    }

    fn mark(&mut self, range: Range<usize>) -> Option<Mark> {
        let span = self.span(range.clone());
        match mark::read(span, slice(self.src, range.start + 1..range.end - 1)) {
            Ok(kind) => Some(Mark { span, kind }),
            Err(finding) => {
                self.lost.push(span);
                self.findings.push(*finding);
                None
            }
        }
    }
}

fn push_text(plain: &mut String, out: &mut Vec<Inline>) {
    if !plain.is_empty() {
        out.push(Inline::Text(std::mem::take(plain)));
    }
}

/// The square brackets in a text, and where they stand.
pub(super) fn brackets(text: &str) -> impl Iterator<Item = (usize, u8)> {
    text.bytes().enumerate().filter(|(_, byte)| matches!(byte, b'[' | b']'))
}

/// How many backslashes stand right before an offset.
pub(super) fn backslashes(src: &str, at: usize) -> usize {
    slice(src, ..at).bytes().rev().take_while(|b| *b == b'\\').count()
}
