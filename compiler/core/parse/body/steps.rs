//! Steps and sub-steps: the items of lists.

use super::{Reader, ifs, onlys};
use crate::parse::rules::{empty_step, joined_step, misplaced_mark, nested_too_deep, step_for_sub_step};
use crate::parse::texts::{line_start, slice, split_digits};
use crate::source::Span;
use crate::syntax::{Block, Mark, MarkKind, Step, SubStep, marks};
use pulldown_cmark::{Event, Tag, TagEnd};
use std::ops::Range;

impl Reader<'_> {
    /// The items of a top-level list whose start event is behind us.
    pub(super) fn steps(&mut self) -> Vec<Step> {
        let mut steps = Vec::new();
        let mut numbers = Vec::new();
        let mut first = None;
        while let Some((event, range)) = self.peek() {
            match event {
                Event::Start(Tag::Item) => {
                    self.advance();
                    let (indent, item) = (self.indent(range.start), slice(self.src, range.clone()));
                    if indent > *first.get_or_insert(indent) && starts_again(item) {
                        let marker = range.end - item.trim_start().len();
                        let span = self.item_span(marker..range.end);
                        self.findings.push(step_for_sub_step::finding(span));
                        // What the numbers behind it go on from is another list.
                        numbers.clear();
                    }
                    numbers.extend(self.numbered(range.clone()));
                    steps.push(self.step(range));
                }
                Event::End(TagEnd::List(_)) => {
                    self.advance();
                    break;
                }
                _ => self.advance(),
            }
        }
        let above = self.last_number.take();
        self.counted(&numbers, above);
        // Bullets count too, and their authors may or may not have counted them.
        self.last_number = numbers.pop();
        steps
    }

    fn step(&mut self, range: Range<usize>) -> Step {
        let found = self.findings.len();
        let margin = self.indent(range.start);
        let mut step = Step {
            span: self.item_span(range),
            only: Vec::new(),
            ifs: Vec::new(),
            each: None,
            messages: Vec::new(),
            text: Vec::new(),
            any_order: false,
            substeps: Vec::new(),
        };
        while let Some((event, _)) = self.peek() {
            match event {
                Event::End(TagEnd::Item) => {
                    self.advance();
                    break;
                }
                Event::Start(Tag::List(first)) => {
                    self.advance();
                    step.any_order |= first.is_none();
                    self.substeps(&mut step);
                }
                Event::Start(Tag::BlockQuote(_)) => match self.quote() {
                    Ok(message) => step.messages.push(message),
                    Err(blocks) => step.text.extend(blocks),
                },
                Event::End(_) => self.advance(),
                _ => step.text.extend(self.block()),
            }
        }
        self.joined(&step.text, margin);
        let found_marks: Vec<Mark> = marks(&step.text).into_iter().cloned().collect();
        let found_marks: Vec<&Mark> = found_marks.iter().collect();
        step.only = onlys(&found_marks);
        step.ifs = ifs(&found_marks);
        step.each = self.each(&found_marks);
        if step.text.is_empty() && step.substeps.is_empty() {
            self.empty(step.span, found);
        }
        step
    }

    fn substeps(&mut self, step: &mut Step) {
        let mut numbers = Vec::new();
        while let Some((event, range)) = self.peek() {
            match event {
                Event::Start(Tag::Item) => {
                    self.advance();
                    let margin = self.indent(range.start);
                    numbers.extend(self.numbered(range.clone()));
                    let span = self.item_span(range);
                    let found = self.findings.len();
                    let text = self.substep(step);
                    self.joined(&text, margin);
                    if text.is_empty() {
                        self.empty(span, found);
                    }
                    let only = onlys(&marks(&text));
                    for mark in marks(&text) {
                        if matches!(mark.kind, MarkKind::If(_) | MarkKind::Each(_)) {
                            self.findings.push(misplaced_mark::of_a_step(mark.span));
                        }
                    }
                    step.substeps.push(SubStep { span, only, text });
                }
                Event::End(TagEnd::List(_)) => {
                    self.advance();
                    break;
                }
                _ => self.advance(),
            }
        }
        self.counted(&numbers, None);
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

    /// Tells of lines that begin a sentence no further in than the number of their step, and that Markdown takes for it all the same.
    fn joined(&mut self, text: &[Block], margin: usize) {
        for block in text {
            let Block::Paragraph { span, .. } = block else { continue };
            let mut at = (span.start as usize).saturating_sub(self.offset);
            let mut above = "";
            for line in slice(self.src, at..(span.end as usize).saturating_sub(self.offset)).split_inclusive('\n') {
                let words = line.trim();
                let ended = above.ends_with(['.', '!', '?', ']']);
                let begins = words.starts_with(|c: char| c.is_uppercase() || c == '[');
                if ended && begins && line.len() - line.trim_start().len() <= margin {
                    let start = at + line.len() - line.trim_start().len();
                    let place = self.span(start..start + words.len());
                    self.findings.push(joined_step::finding(place));
                }
                above = words;
                at += line.len();
            }
        }
    }

    /// How many columns of space stand before what begins at or behind a byte.
    fn indent(&self, at: usize) -> usize {
        let rest = slice(self.src, line_start(self.src, at)..);
        rest.len() - rest.trim_start_matches(' ').len()
    }

    /// The first line of an item: enough to point at it.
    fn item_span(&self, range: Range<usize>) -> Span {
        let line = slice(self.src, range.clone()).lines().next().unwrap_or("");
        self.span(range.start..range.start + line.trim_end().len())
    }

    /// Reports an item without words, unless what was in it has had a finding: there were so many before it.
    fn empty(&mut self, span: Span, found: usize) {
        if self.findings.len() == found {
            self.findings.push(empty_step::finding(span));
        }
    }
}

/// True of a numbered item whose number is 1.
fn starts_again(item: &str) -> bool {
    let (number, _) = split_digits(item.trim_start());
    number.trim_start_matches('0') == "1"
}
