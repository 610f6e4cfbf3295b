//! Markdown in; phases, steps, messages and prose out.
//!
//! `pulldown-cmark` turns the text into events with byte ranges; the reader here walks them once. It knows the shape of the authoring
//! language (headings are phases, top-level items are steps) and nothing of what ids mean. It never fails: what it can't take becomes a
//! finding, and reading goes on.

mod events;
mod lookalike;
mod looks;
mod message;
mod numbers;
mod prose;
mod steps;

pub use looks::bracketed;

use crate::budgets;
use crate::finding::{Finding, Rule, Severity};
use crate::parse::rules::{
    bad_mark_arguments, control_character, empty_step, mark_taken_as_link, message_guards_nothing, misplaced_mark,
    no_steps, over_budget, raw_html, skipped_number, step_for_sub_step, unknown_mark, unused_definition,
};
use crate::parse::texts::slice;
use crate::source::{FileId, Span};
use crate::syntax::ties::{If, PerMember};
use crate::syntax::{Block, Body, Inline, Mark, MarkKind, Message, Only, Phase, Run, inline_marks, marks};
use events::{Events, first_line, within};
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use std::ops::Range;

/// Reads the Markdown of `text` from byte `offset` to the end.
pub fn read(file: FileId, text: &str, offset: usize) -> (Body, Vec<Finding>) {
    let src = text.get(offset..).unwrap_or("");
    if budgets::BODY.is_over(src.len()) {
        let span = Span::new(file, offset, offset + first_line(src));
        let finding = over_budget::finding(span, &budgets::BODY, src.len());
        return (Body::default(), vec![finding]);
    }
    let parser = Parser::new_ext(src, Options::empty());
    let mut findings = Vec::new();
    for (label, definition) in parser.reference_definitions().iter() {
        let span = Span::new(file, offset + definition.span.start, offset + definition.span.end);
        if prose::meant_as_mark(span, label, &definition.dest) {
            findings.push(mark_taken_as_link::finding(span, label));
        }
    }
    let definitions: Vec<(String, Span)> = parser
        .reference_definitions()
        .iter()
        .map(|(label, d)| {
            (
                label.to_string(),
                Span::new(file, offset + d.span.start, offset + d.span.end),
            )
        })
        .collect();
    let events = match within(parser, src.len()) {
        Ok(events) => events,
        Err((budget, count, range)) => {
            let line = first_line(slice(src, range.start..)).min(range.len());
            let span = Span::new(file, offset + range.start, offset + range.start + line);
            return (Body::default(), vec![over_budget::finding(span, budget, count)]);
        }
    };
    for (event, range) in &events {
        if let Event::Text(read) = event {
            let span = Span::new(file, offset + range.start, offset + range.end);
            findings.extend(control_character::written(span, slice(src, range.clone()), read));
        }
    }
    let mut lost = lookalike::scan(file, src, offset, &events);
    for (label, span) in definitions {
        // `[//]: # (words)` is a way to write a comment.
        if !uses(&events, &label) && label != "//" && !findings.iter().any(|f| f.primary.span == span) {
            lost.findings.push(unused_definition::finding(span, &label));
        }
    }
    let mut reader = Reader {
        file,
        src,
        offset,
        events,
        at: 0,
        findings,
        lost: Vec::new(),
        last_number: None,
    };
    let mut body = reader.body();
    let mut findings = std::mem::take(&mut reader.findings);
    let mut unread = std::mem::take(&mut reader.lost);
    if lost.findings.iter().any(|f| f.severity() == Severity::Error) {
        let follows = |f: &Finding| {
            let within = lost
                .spans
                .iter()
                .any(|s| s.start <= f.primary.span.start && f.primary.span.start < s.end);
            ANYWHERE.contains(&f.rule) || (within && WITHIN.contains(&f.rule))
        };
        findings.retain(|f| !follows(f));
        findings.append(&mut lost.findings);
        body.lost = lost.spans;
        body.lost.append(&mut unread);
        return (body, findings);
    }
    findings.append(&mut lost.findings);
    body.lost = lost.spans;
    body.lost.append(&mut unread);
    if body.phases.iter().all(|p| p.steps().next().is_none()) {
        let words = src.trim_start();
        let start = src.len() - words.len();
        let line = words.lines().next().map_or(0, |line| line.trim_end().len());
        findings.push(no_steps::finding(reader.span(start..start + line)));
    }
    (body, findings)
}

/// What is said of words that are not read as what they were meant for follows from that.
static WITHIN: [&Rule; 5] = [
    &misplaced_mark::RULE,
    &unknown_mark::RULE,
    &bad_mark_arguments::RULE,
    &empty_step::RULE,
    &step_for_sub_step::RULE,
];

/// What a text may lack, or have a gap where it was, only because a part of it is not read as what it was meant for.
static ANYWHERE: [&Rule; 3] = [&message_guards_nothing::RULE, &no_steps::RULE, &skipped_number::RULE];

/// True if some link or picture uses a definition.
fn uses(events: &[(Event, Range<usize>)], label: &str) -> bool {
    events.iter().any(|(event, _)| match event {
        Event::Start(Tag::Link { id, .. } | Tag::Image { id, .. }) => id.to_lowercase() == label.to_lowercase(),
        _ => false,
    })
}

struct Reader<'a> {
    file: FileId,
    /// The Markdown, without the front matter.
    src: &'a str,
    /// Where `src` begins in its file.
    offset: usize,
    events: Events<'a>,
    at: usize,
    findings: Vec<Finding>,
    /// Marks that couldn't be read.
    lost: Vec<Span>,
    /// The number that the last step of this phase was written with.
    last_number: Option<numbers::Numbered>,
}

impl<'a> Reader<'a> {
    fn span(&self, range: Range<usize>) -> Span {
        Span::new(self.file, self.offset + range.start, self.offset + range.end)
    }

    fn peek(&self) -> Option<(Event<'a>, Range<usize>)> {
        self.events.get(self.at).cloned()
    }

    fn advance(&mut self) {
        self.at += 1;
    }

    /// Where the words of some events stand.
    fn taken(&self, events: Range<usize>) -> Range<usize> {
        let ranges = self.events.get(events).unwrap_or_default().iter();
        let ranges = ranges.map(|(_, range)| range.clone());
        let whole = ranges.reduce(|all, next| all.start.min(next.start)..all.end.max(next.end));
        self.trimmed(whole.unwrap_or_default())
    }

    /// Without the white space at its end.
    fn trimmed(&self, range: Range<usize>) -> Range<usize> {
        let words = self.src.get(range.clone()).map_or(0, |text| text.trim_end().len());
        range.start..range.start + words
    }

    /// Steps over an end event, if that is what comes next.
    fn close(&mut self, end: TagEnd) {
        if matches!(self.events.get(self.at), Some((Event::End(e), _)) if *e == end) {
            self.advance();
        }
    }

    fn body(&mut self) -> Body {
        let mut body = Body::default();
        // Messages and prose that stand after a step wait for the next one.
        let mut waiting: Vec<Message> = Vec::new();
        while let Some((event, range)) = self.peek() {
            match event {
                Event::Start(Tag::Heading { .. }) => {
                    self.drop_waiting(&mut waiting);
                    self.last_number = None;
                    body.phases.push(self.heading(range));
                }
                Event::Start(Tag::List(first)) => {
                    self.advance();
                    let mut steps = self.steps();
                    if let Some(step) = steps.first_mut() {
                        waiting.append(&mut step.messages);
                        step.messages = std::mem::take(&mut waiting);
                    }
                    let any_order = first.is_none();
                    self.run(&mut body, range, Run { any_order, steps });
                }
                Event::Start(Tag::BlockQuote(_)) => {
                    let quote = self.quote();
                    match (quote, body.phases.last_mut()) {
                        (Ok(message), None) => body.messages.push(message),
                        (Ok(message), Some(phase)) if phase.runs.is_empty() => phase.messages.push(message),
                        (Ok(message), Some(_)) => waiting.push(message),
                        (Err(blocks), _) => self.prose(&mut body, &mut waiting, blocks, range),
                    }
                }
                Event::End(_) => self.advance(),
                _ => {
                    let blocks = self.block();
                    self.prose(&mut body, &mut waiting, blocks, range);
                }
            }
        }
        self.drop_waiting(&mut waiting);
        for block in body.intro.iter().chain(body.phases.iter().flat_map(|p| &p.intro)) {
            let found = marks(std::slice::from_ref(block)).into_iter().cloned().collect();
            self.forbid(found, "prose");
        }
        body
    }

    /// Puts prose where it belongs: before the first heading the card's, under a heading the phase's, after a step a note.
    fn prose(&mut self, body: &mut Body, waiting: &mut Vec<Message>, blocks: Vec<Block>, range: Range<usize>) {
        if blocks.is_empty() {
            return;
        }
        match body.phases.last_mut() {
            None => body.intro.extend(blocks),
            Some(phase) if phase.runs.is_empty() => phase.intro.extend(blocks),
            Some(_) => {
                self.forbid(marks(&blocks).into_iter().cloned().collect(), "prose");
                waiting.push(message::note(self.span(self.trimmed(range)), blocks));
            }
        }
    }

    /// A message that no step follows would be printed nowhere.
    fn drop_waiting(&mut self, waiting: &mut Vec<Message>) {
        for message in waiting.drain(..) {
            self.findings.push(message_guards_nothing::finding(message.span));
        }
    }

    /// Puts steps into the last phase, which before the first heading is one without a title.
    fn run(&mut self, body: &mut Body, range: Range<usize>, run: Run) {
        if body.phases.is_empty() {
            let span = self.span(range.start..range.start);
            body.phases.push(phase(span, Vec::new(), Vec::new()));
        }
        if let Some(last) = body.phases.last_mut() {
            last.runs.push(run);
        }
    }

    fn heading(&mut self, range: Range<usize>) -> Phase {
        self.advance();
        let (title, figures) = self.inlines(false);
        if let Some((Event::End(end @ TagEnd::Heading(_)), _)) = self.peek() {
            self.close(end);
        }
        let mut found = Vec::new();
        inline_marks(&title, &mut found);
        let only = onlys(&found);
        let (ifs, each) = (ifs(&found), self.each(&found));
        self.forbid(found.into_iter().cloned().collect(), HEADING);
        let span = self.span(self.trimmed(range));
        Phase {
            intro: figures,
            ifs,
            each,
            ..phase(span, title, only)
        }
    }

    /// Any block that isn't a step, heading or tagged quote; always moves on by at least one event.
    fn block(&mut self) -> Vec<Block> {
        let Some((event, range)) = self.peek() else {
            return Vec::new();
        };
        match event {
            Event::Start(Tag::Paragraph | Tag::Heading { .. }) => {
                self.advance();
                let blocks = self.paragraph();
                self.advance();
                blocks
            }
            Event::Start(Tag::CodeBlock(_)) => {
                self.advance();
                let mut code = String::new();
                while let Some((Event::Text(text), _)) = self.peek() {
                    code.push_str(&text);
                    self.advance();
                }
                self.advance();
                vec![Block::Code {
                    span: self.span(self.trimmed(range)),
                    text: code.trim_end().to_string(),
                }]
            }
            Event::Start(Tag::List(first)) => {
                self.advance();
                vec![Block::List {
                    ordered: first.is_some(),
                    items: self.plain_items(),
                }]
            }
            Event::Start(Tag::BlockQuote(_)) => match self.quote() {
                Ok(message) => {
                    self.findings.push(message_guards_nothing::nested(message.span));
                    let hazard = (!message.hazard.is_empty()).then_some(Block::Paragraph {
                        span: message.span,
                        text: message.hazard,
                    });
                    hazard
                        .into_iter()
                        .chain(message.consequence)
                        .chain(message.avoid)
                        .collect()
                }
                Err(blocks) => blocks,
            },
            Event::Start(Tag::HtmlBlock) => {
                self.advance();
                while let Some((Event::Html(_), _)) = self.peek() {
                    self.advance();
                }
                self.advance();
                self.html(range);
                Vec::new()
            }
            Event::Start(Tag::Emphasis | Tag::Strong | Tag::Link { .. } | Tag::Image { .. })
            | Event::Text(_)
            | Event::Code(_)
            | Event::InlineHtml(_)
            | Event::SoftBreak
            | Event::HardBreak => self.paragraph(),
            _ => {
                self.advance();
                Vec::new()
            }
        }
    }

    fn plain_items(&mut self) -> Vec<Vec<Block>> {
        let mut items = Vec::new();
        while let Some((event, _)) = self.peek() {
            match event {
                Event::Start(Tag::Item) => {
                    self.advance();
                    let mut blocks = Vec::new();
                    while let Some((event, _)) = self.peek() {
                        if event == Event::End(TagEnd::Item) {
                            self.advance();
                            break;
                        }
                        blocks.extend(self.block());
                    }
                    items.push(blocks);
                }
                Event::End(TagEnd::List(_)) => {
                    self.advance();
                    break;
                }
                _ => self.advance(),
            }
        }
        items
    }

    /// Comments are the author's own; any other HTML would be lost on the card.
    fn html(&mut self, range: Range<usize>) {
        let mut at = range.start;
        loop {
            let rest = slice(self.src, at..range.end);
            at += rest.len() - rest.trim_start().len();
            let rest = rest.trim();
            if let Some(comment) = rest.strip_prefix("<!--") {
                let Some(end) = comment.find("-->") else {
                    self.findings
                        .push(raw_html::open_comment(self.span(at..at + "<!--".len())));
                    return;
                };
                at += "<!--".len() + end + "-->".len();
                continue;
            }
            // What stands beside a comment, in a line that starts with one, is HTML to Markdown, and lost like any other.
            let line = rest.lines().next().unwrap_or("");
            let line = line.split_once("<!--").map_or(line, |(html, _)| html).trim_end().len();
            if line > 0 {
                self.findings.push(raw_html::finding(self.span(at..at + line)));
            }
            return;
        }
    }

    /// Marks that act may stand in steps only; elsewhere nobody would carry them out.
    fn forbid(&mut self, found: Vec<Mark>, place: &str) {
        for mark in found {
            let heads = place == HEADING && matches!(mark.kind, MarkKind::If(_) | MarkKind::Each(_));
            if !heads && !matches!(mark.kind, MarkKind::See(_) | MarkKind::Step(..) | MarkKind::Only(_)) {
                self.findings.push(misplaced_mark::finding(mark.span, place));
            }
        }
    }
}

fn phase(span: Span, title: Vec<Inline>, only: Vec<Only>) -> Phase {
    Phase {
        title,
        span,
        only,
        ifs: Vec::new(),
        each: None,
        messages: Vec::new(),
        intro: Vec::new(),
        runs: Vec::new(),
    }
}

/// Where a condition may stand that covers a phase.
const HEADING: &str = "a heading";

/// The questions among some marks.
fn ifs(marks: &[&Mark]) -> Vec<If> {
    let question = |m: &&Mark| match &m.kind {
        MarkKind::If(question) => Some(question.clone()),
        _ => None,
    };
    marks.iter().filter_map(question).collect()
}

impl Reader<'_> {
    /// The group that some marks name; of two the first.
    fn each(&mut self, marks: &[&Mark]) -> Option<PerMember> {
        let mut each = None;
        for mark in marks {
            let MarkKind::Each(found) = &mark.kind else { continue };
            if each.is_some() {
                self.findings.push(misplaced_mark::second_group(mark.span));
            }
            each.get_or_insert_with(|| found.clone());
        }
        each
    }
}

/// The conditions among some marks.
fn onlys(marks: &[&Mark]) -> Vec<Only> {
    let only = |m: &&Mark| match &m.kind {
        MarkKind::Only(only) => Some(only.clone()),
        _ => None,
    };
    marks.iter().filter_map(only).collect()
}
