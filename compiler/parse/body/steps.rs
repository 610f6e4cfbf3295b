//! Steps and sub-steps: the items of lists.

use super::{Reader, onlys};
use crate::parse::rules::{empty_step, nested_too_deep};
use crate::parse::syntax::{Block, Step, SubStep, marks};
use crate::source::Span;
use pulldown_cmark::{Event, Tag, TagEnd};
use std::ops::Range;

impl Reader<'_> {
    /// The items of a top-level list whose start event is behind us.
    pub(super) fn steps(&mut self) -> Vec<Step> {
        let mut steps = Vec::new();
        while let Some((event, range)) = self.peek() {
            match event {
                Event::Start(Tag::Item) => {
                    self.advance();
                    steps.push(self.step(range));
                }
                Event::End(TagEnd::List(_)) => {
                    self.advance();
                    break;
                }
                _ => self.advance(),
            }
        }
        steps
    }

    fn step(&mut self, range: Range<usize>) -> Step {
        let found = self.findings.len();
        let mut step = Step {
            span: self.item_span(range),
            only: Vec::new(),
            messages: Vec::new(),
            text: Vec::new(),
            substeps: Vec::new(),
        };
        while let Some((event, range)) = self.peek() {
            match event {
                Event::End(TagEnd::Item) => {
                    self.advance();
                    break;
                }
                Event::Start(Tag::List(_)) => {
                    self.advance();
                    self.substeps(&mut step);
                }
                Event::Start(Tag::BlockQuote(_)) => match self.quote() {
                    Ok(message) => step.messages.push(message),
                    Err(blocks) => step.text.extend(blocks),
                },
                Event::End(_) => self.advance(),
                _ => {
                    let _ = range;
                    step.text.extend(self.block());
                }
            }
        }
        step.only = onlys(&marks(&step.text));
        if step.text.is_empty() && step.substeps.is_empty() {
            self.empty(step.span, found);
        }
        step
    }

    fn substeps(&mut self, step: &mut Step) {
        while let Some((event, range)) = self.peek() {
            match event {
                Event::Start(Tag::Item) => {
                    self.advance();
                    let span = self.item_span(range);
                    let found = self.findings.len();
                    let text = self.substep(step);
                    if text.is_empty() {
                        self.empty(span, found);
                    }
                    let only = onlys(&marks(&text));
                    step.substeps.push(SubStep { span, only, text });
                }
                Event::End(TagEnd::List(_)) => {
                    self.advance();
                    break;
                }
                _ => self.advance(),
            }
        }
    }

    fn substep(&mut self, step: &mut Step) -> Vec<Block> {
        let mut text = Vec::new();
        while let Some((event, range)) = self.peek() {
            match event {
                Event::End(TagEnd::Item) => {
                    self.advance();
                    break;
                }
                Event::Start(Tag::List(_)) => {
                    let span = self.item_span(range);
                    self.findings.push(nested_too_deep::finding(span));
                    text.extend(self.block());
                }
                Event::Start(Tag::BlockQuote(_)) => match self.quote() {
                    Ok(message) => step.messages.push(message),
                    Err(blocks) => text.extend(blocks),
                },
                Event::End(_) => self.advance(),
                _ => text.extend(self.block()),
            }
        }
        text
    }

    /// The first line of an item: enough to point at it.
    fn item_span(&self, range: Range<usize>) -> Span {
        let line = self.src[range.clone()].lines().next().unwrap_or("").trim_end().len();
        self.span(range.start..range.start + line)
    }

    /// Reports an item without words, unless what was in it has had a finding: there were so many before it.
    fn empty(&mut self, span: Span, found: usize) {
        if self.findings.len() == found {
            self.findings.push(empty_step::finding(span));
        }
    }
}
