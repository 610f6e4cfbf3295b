//! Runs of prose: text, emphasis, links, pictures, and the bracketed marks between them.
//!
//! Marks are found in the source text under the parser's text events, not by the parser's link rules: two marks may touch
//! (`[fit a][torque b]`), which Markdown would read as one link.

use super::Reader;
use crate::parse::mark;
use crate::parse::rules::{bad_mark_arguments, mark_taken_as_link};
use crate::parse::syntax::{Block, Inline, Mark, Name};
use pulldown_cmark::{CowStr, Event, LinkType, Tag, TagEnd};
use std::ops::Range;

/// True if a bracket with this inside would be a mark.
pub fn starts_with_verb(inner: &str) -> bool {
    let word = inner.split_whitespace().next().unwrap_or("");
    mark::VERBS.contains(&word) && inner.trim() != word
}

type Pieces<'a> = Vec<(Range<usize>, CowStr<'a>)>;

impl<'a> Reader<'a> {
    /// Prose up to the next block event, as a paragraph followed by its figures.
    pub(super) fn paragraph(&mut self) -> Vec<Block> {
        let (text, figures) = self.inlines(false);
        let mut blocks = Vec::new();
        if !text.is_empty() {
            blocks.push(Block::Paragraph(text));
        }
        blocks.extend(figures);
        blocks
    }

    /// Inline events up to the first that isn't one; with `one_line`, up to the end of the line.
    pub(super) fn inlines(&mut self, one_line: bool) -> (Vec<Inline>, Vec<Block>) {
        let mut out = Vec::new();
        let mut figures = Vec::new();
        let mut pieces: Pieces = Vec::new();
        while let Some((event, range)) = self.peek() {
            match event {
                Event::Text(text) => pieces.push((range, text)),
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
                let inner = self.src[range.clone()].trim_start_matches('[');
                let inner = &inner[..inner.find(']').unwrap_or(0)];
                if link_type == LinkType::Inline && starts_with_verb(inner) {
                    self.findings.push(mark_taken_as_link::finding(self.span(range), inner));
                }
                out.push(Inline::Link {
                    text,
                    url: dest_url.to_string(),
                });
            }
            Tag::Image { dest_url, .. } => {
                self.close(TagEnd::Image);
                let written = &self.src[range.clone()];
                let at = written.rfind(dest_url.as_ref()).unwrap_or(0);
                let path_span = self.span(range.start + at..range.start + at + dest_url.len().min(written.len() - at));
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
            if self.src[range.clone()] != *text {
                plain.push_str(&text);
                continue;
            }
            for (i, c) in text.char_indices() {
                let at = range.start + i;
                // A backslash before the piece is not part of it; one inside is plain text.
                let escaped = i == 0 && backslashes(self.src, at) % 2 == 1;
                match (c, open) {
                    ('[', _) if !escaped => {
                        open = Some((at, plain.len()));
                        plain.push(c);
                    }
                    (']', Some((start, len))) if !escaped => {
                        open = None;
                        match self.mark(start..at + 1) {
                            Some(mark) => {
                                plain.truncate(len);
                                push_text(&mut plain, out);
                                out.push(Inline::Mark(mark));
                            }
                            None => plain.push(c),
                        }
                    }
                    _ => plain.push(c),
                }
            }
        }
        if let Some((start, _)) = open {
            let line = self.src[start + 1..].lines().next().unwrap_or("");
            if starts_with_verb(line) {
                let span = self.span(start..start + 1 + line.trim_end().len());
                self.findings.push(bad_mark_arguments::unclosed(span));
            }
        }
        push_text(&mut plain, out);
    }

    fn mark(&mut self, range: Range<usize>) -> Option<Mark> {
        let span = self.span(range.clone());
        match mark::read(span, &self.src[range.start + 1..range.end - 1]) {
            Ok(kind) => Some(Mark { span, kind }),
            Err(finding) => {
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

/// How many backslashes stand right before an offset.
fn backslashes(src: &str, at: usize) -> usize {
    src[..at].bytes().rev().take_while(|b| *b == b'\\').count()
}
