//! Finds what looks like structure and is none: every line of the Markdown is held against what it became.
//!
//! Works on the parser's events, beside the reader that makes the tree. What is found here is *lost* for the tree: what else would be said
//! of those words follows from it.

use super::looks::{self, Line, StepLook, StepWhy};
use super::prose::{backslashes, brackets};
use crate::finding::Finding;
use crate::parse::rules::{
    code_block, commented_out, foreign_markup, looks_like_heading, looks_like_mark, looks_like_message,
    looks_like_step, untagged_quote,
};
use crate::parse::texts::{line_start, slice, split_digits};
use crate::source::{FileId, Span};
use pulldown_cmark::{CodeBlockKind, Event, Options, Parser, Tag, TagEnd};
use std::ops::Range;

/// What a scan found.
#[derive(Debug, Default)]
pub struct Lost {
    pub findings: Vec<Finding>,
    /// Words that are not in the tree as what they were meant for.
    pub spans: Vec<Span>,
}

type Events<'a> = [(Event<'a>, Range<usize>)];

/// Looks through `src`, which begins at `offset` in its file and was parsed into `events`.
pub fn scan(file: FileId, src: &str, offset: usize, events: &Events) -> Lost {
    let mut scan = Scan {
        file,
        src,
        offset,
        events,
        foreign: Vec::new(),
        lost: Lost::default(),
    };
    scan.foreign();
    scan.walk();
    scan.lost.findings.sort_by_key(|finding| finding.primary.span);
    scan.lost
}

/// A container that is open.
enum Open {
    Item,
    /// A quote; true if it has a tag, so that it is a message.
    Quote(bool),
}

struct Scan<'a> {
    file: FileId,
    src: &'a str,
    offset: usize,
    events: &'a Events<'a>,
    /// Where the language of forges sees more than CommonMark does.
    foreign: Vec<Range<usize>>,
    lost: Lost,
}

impl<'a> Scan<'a> {
    fn span(&self, range: Range<usize>) -> Span {
        Span::new(self.file, self.offset + range.start, self.offset + range.end)
    }

    /// The first line of a range, without the space at its ends.
    fn first_line(&self, range: Range<usize>) -> Range<usize> {
        let text = slice(self.src, range.clone());
        let words = text.trim_start();
        let start = range.start + text.len() - words.len();
        let line = words.lines().next().unwrap_or("");
        start..start + line.trim_end().len()
    }

    fn lose(&mut self, range: Range<usize>, finding: Finding) {
        let span = self.span(range);
        self.lost.spans.push(span);
        self.lost.findings.push(finding);
    }

    /// Tables, task lists, struck words and footnotes.
    fn foreign(&mut self) {
        if !["|", "~~", "[ ]", "[x]", "[X]", "[^"]
            .iter()
            .any(|sign| self.src.contains(sign))
        {
            return;
        }
        let options = Options::ENABLE_TABLES
            | Options::ENABLE_STRIKETHROUGH
            | Options::ENABLE_TASKLISTS
            | Options::ENABLE_FOOTNOTES;
        for (event, range) in Parser::new_ext(self.src, options).into_offset_iter() {
            let line = self.first_line(range.clone());
            let finding = match event {
                Event::Start(Tag::Table(_)) => foreign_markup::table(self.span(line)),
                Event::Start(Tag::Strikethrough) if slice(self.src, range.clone()).starts_with("~~") => {
                    foreign_markup::struck(self.span(range.clone()))
                }
                Event::TaskListMarker(_) => {
                    let after = slice(self.src, range.end..);
                    let space = after.len() - after.trim_start_matches(' ').len();
                    let head = slice(self.src, line_start(self.src, range.start)..range.start);
                    let numbered = head.trim_start().starts_with(|c: char| c.is_ascii_digit());
                    foreign_markup::task(self.span(range.start..range.end + space), numbered)
                }
                Event::FootnoteReference(_) => foreign_markup::footnote(self.span(range.clone())),
                Event::Start(Tag::FootnoteDefinition(_)) => foreign_markup::footnote(self.span(line)),
                _ => continue,
            };
            // A table's own struck words and the like say nothing new.
            if !self.foreign.iter().any(|other| overlap(other, &range)) {
                self.foreign.push(range.clone());
                self.lose(range, finding);
            }
        }
    }

    fn walk(&mut self) {
        let mut open: Vec<Open> = Vec::new();
        // The end of what has had its finding as a whole.
        let mut done = 0;
        let mut at = 0;
        while let Some((event, range)) = self.events.get(at) {
            let range = range.clone();
            let skip = range.end <= done && !range.is_empty();
            match event {
                Event::Start(Tag::Item) => {
                    open.push(Open::Item);
                    if !skip {
                        self.doubled(at, range);
                    }
                }
                Event::Start(Tag::BlockQuote(_)) => {
                    let tagged = tagged(slice(self.src, range.clone()));
                    let nested = !open.is_empty();
                    if !skip && !tagged && self.quote(at, range.clone(), nested) {
                        done = done.max(range.end);
                    }
                    open.push(Open::Quote(tagged));
                }
                Event::End(TagEnd::Item | TagEnd::BlockQuote(_)) => {
                    open.pop();
                }
                Event::Start(Tag::Heading { .. }) if !open.is_empty() && !skip => {
                    let place = match open.last() {
                        Some(Open::Item) => "a step",
                        _ => "a quote",
                    };
                    let finding = looks_like_heading::nested(self.span(self.first_line(range.clone())), place);
                    self.lose(range, finding);
                }
                Event::Start(Tag::CodeBlock(kind)) if !skip => {
                    let indented = matches!(kind, CodeBlockKind::Indented);
                    self.code(range, indented);
                }
                Event::Start(Tag::HtmlBlock) | Event::InlineHtml(_) if !skip => self.comment(range),
                _ if is_inline(event) => {
                    let run = self.run_at(at);
                    let later = run.iter().map(|(_, range)| range.end).max().unwrap_or(range.end);
                    if !skip {
                        self.run(run, range.start..later, &open);
                    }
                    at += run.len();
                    continue;
                }
                _ => {}
            }
            at += 1;
        }
    }

    /// The inline events that begin at `at`.
    fn run_at(&self, at: usize) -> &'a Events<'a> {
        let events = self.events.get(at..).unwrap_or_default();
        let end = events.iter().position(|(event, _)| !is_inline(event));
        end.and_then(|end| events.get(..end)).unwrap_or(events)
    }

    /// An item that starts with another list on the same line.
    fn doubled(&mut self, at: usize, range: Range<usize>) {
        if let Some((Event::Start(Tag::List(_)), inner)) = self.events.get(at + 1)
            && !slice(self.src, range.start..inner.start).contains('\n')
        {
            let line = self.first_line(range);
            let finding = looks_like_step::doubled(self.span(line.clone()));
            self.lose(line, finding);
        }
    }

    /// A quote without a tag; true if it has had its finding as a whole.
    fn quote(&mut self, at: usize, range: Range<usize>, nested: bool) -> bool {
        let text = slice(self.src, range.clone());
        let line = self.first_line(range.clone());
        let lines: Vec<&str> = text.lines().map(unquoted).collect();
        let avoids = lines
            .iter()
            .any(|line| line.get(..6).is_some_and(|word| word.eq_ignore_ascii_case("avoid:")));
        let first = lines.first().copied().unwrap_or("");
        let start = range.start + text.find(first).unwrap_or(0);
        // What is left of a message whose head has had its finding.
        let before = slice(self.src, ..range.start).trim_end_matches([' ', '>']);
        let above = self.offset + before.len();
        let blanks = before.chars().rev().take_while(|c| c.is_whitespace());
        let parted = blanks.filter(|c| *c == '\n').count() > 1;
        let lost = &self.lost.spans;
        let continues = |span: &Span| (span.start as usize) < above && above <= span.end as usize + 1;
        if !parted && lost.iter().any(continues) {
            let span = self.span(range.clone());
            self.lost.spans.push(span);
            return true;
        }
        let nested_quote = matches!(self.events.get(at + 1), Some((Event::Start(Tag::BlockQuote(_)), _)));
        let finding = if let Some(look) = looks::message(first, true) {
            let whole = avoids && lines.len() >= 3 && look.word.end < first.trim_end().len();
            let word = slice(first, look.word.clone());
            let after = slice(first, look.word.end..);
            let space = after.len() - after.trim_start().len();
            let span = self.span(start + look.word.start..start + look.word.end + space);
            looks_like_message::in_quote(span, word, look.tag, whole)
        } else if avoids && !nested_quote {
            looks_like_message::rest(self.span(line.clone()))
        } else {
            match self.events.get(at + 1) {
                Some((Event::Start(Tag::List(_)), _)) if !nested => looks_like_step::in_quote(self.span(line.clone())),
                Some((Event::Start(Tag::Heading { .. }), _)) => {
                    looks_like_heading::nested(self.span(line.clone()), "a quote")
                }
                // What stands in it is looked at for itself.
                Some((Event::Start(Tag::BlockQuote(_) | Tag::CodeBlock(_) | Tag::HtmlBlock), _)) => return false,
                _ => untagged_quote::finding(self.span(line.clone())),
            }
        };
        if finding.rule == &untagged_quote::RULE {
            self.lost.findings.push(finding);
            return false;
        }
        self.lose(range, finding);
        true
    }

    fn code(&mut self, range: Range<usize>, indented: bool) {
        let line = self.first_line(range.clone());
        let text = slice(self.src, range.clone());
        let seen = text.lines().find_map(what);
        let finding = match (indented, seen) {
            (true, seen) => {
                let first = slice(self.src, line.clone());
                let what = what(first).or(seen).unwrap_or("text");
                code_block::indented(self.span(line), what)
            }
            (false, Some(what)) => code_block::fenced(self.span(line), what),
            (false, None) => return,
        };
        self.lose(range, finding);
    }

    /// Comments that hold what would be a step and the like.
    fn comment(&mut self, range: Range<usize>) {
        let mut rest = slice(self.src, range.clone());
        while let Some((_, comment)) = rest.split_once("<!--")
            && let Some((text, after)) = comment.split_once("-->")
        {
            let inner = range.end - comment.len();
            let (start, end) = (inner - "<!--".len(), inner + text.len());
            if let Some(what) = text.lines().map(str::trim).find_map(what) {
                let line = self.first_line(start..end + "-->".len());
                let finding = commented_out::finding(self.span(line), what);
                let span = self.span(start..end);
                self.lost.spans.push(span);
                self.lost.findings.push(finding);
            }
            rest = after;
        }
    }

    /// A run of inline events, which cover `range`.
    fn run(&mut self, events: &Events, range: Range<usize>, open: &[Open]) {
        if self.foreign.iter().any(|foreign| overlap(foreign, &range)) {
            return;
        }
        if let Some(finding) = self.marks(events, range.clone()) {
            self.lose(range, finding);
            return;
        }
        let mut starts = vec![range.start];
        for pair in events.windows(2) {
            if let [(Event::SoftBreak | Event::HardBreak, _), (_, next)] = pair {
                starts.push(next.start);
            }
        }
        let in_message = open.iter().any(|open| matches!(open, Open::Quote(true)));
        let in_quote = matches!(open.last(), Some(Open::Quote(false)));
        for (n, start) in starts.iter().copied().enumerate() {
            let line = slice(self.src, start..range.end)
                .lines()
                .next()
                .unwrap_or("")
                .trim_end();
            let escaped = backslashes(self.src, start) % 2 == 1;
            if escaped || line.is_empty() {
                continue;
            }
            let place = if n == 0 { Line::First } else { Line::Later };
            if let Some(mut finding) = self.line(start, line, place, in_message, in_quote) {
                if finding.fix.as_ref().is_some_and(|fix| fix.replace.is_some()) && looks::step(line, place).is_some() {
                    self.spaced(&mut finding, starts.get(n..).unwrap_or_default(), range.end);
                }
                self.lose(range, finding);
                return;
            }
        }
    }

    /// Steps in a row without their space are one slip: the change covers all of them, or there is none.
    fn spaced(&self, finding: &mut Finding, starts: &[usize], end: usize) {
        let Some(first) = starts.first().copied() else { return };
        let mut text = String::new();
        let mut at = first;
        for start in starts {
            let line = slice(self.src, *start..end).lines().next().unwrap_or("");
            let place = if *start == first { Line::First } else { Line::Later };
            let Some(look) = looks::step(line, place) else { continue };
            let Some(becomes) = look.becomes else {
                if let Some(fix) = &mut finding.fix {
                    fix.replace = None;
                }
                return;
            };
            text += slice(self.src, at..start + look.marker.start);
            text += &becomes;
            at = start + look.marker.end;
        }
        if let Some((place, with)) = finding.fix.as_mut().and_then(|fix| fix.replace.as_mut()) {
            *place = self.span(first..at);
            *with = text;
        }
    }

    /// What one line looks like, if it is not what it looks like.
    fn line(&self, start: usize, line: &str, at: Line, in_message: bool, in_quote: bool) -> Option<Finding> {
        let part = |range: Range<usize>| self.span(start + range.start..start + range.end);
        // A table right behind words is none to forges either.
        if line.starts_with('|') && line.matches('|').count() >= 2 {
            return Some(foreign_markup::table(part(0..line.len())));
        }
        if at == Line::Later && line.starts_with('>') {
            return Some(looks_like_message::sign(part(0..1)));
        }
        if let Some((signs, becomes)) = looks::heading(line, at) {
            return Some(looks_like_heading::finding(
                part(signs.clone()),
                slice(line, signs),
                becomes.as_deref(),
            ));
        }
        if let Some(StepLook { marker, becomes, why }) = looks::step(line, at) {
            let (span, word) = (part(marker.clone()), slice(line, marker));
            let becomes = becomes.as_deref();
            return Some(match (why, becomes) {
                (StepWhy::NoSpace, Some(becomes)) => looks_like_step::space(span, word, becomes),
                (StepWhy::OddSpace, Some(becomes)) => looks_like_step::odd_space(span, word, becomes),
                (StepWhy::Swallowed, _) => looks_like_step::swallowed(span, word),
                (StepWhy::Wrapped, _) => looks_like_step::wrapped(span),
                _ => looks_like_step::sign(span, word, becomes),
            });
        }
        // The head of a quote has been looked at with the quote.
        let seen = in_message || (in_quote && at == Line::First);
        if !seen && let Some(look) = looks::message(line, false) {
            return Some(looks_like_message::in_text(
                part(look.word.clone()),
                slice(line, look.word),
                look.tag,
            ));
        }
        None
    }

    /// Marks in code, in other brackets, or without their first bracket.
    fn marks(&self, events: &Events, range: Range<usize>) -> Option<Finding> {
        for (event, range) in events {
            match event {
                Event::Code(code) => {
                    if let Some(mark) = looks::bracketed(code) {
                        let mark = slice(code, mark);
                        let alone = (code.trim() == mark).then_some(mark);
                        return Some(looks_like_mark::in_code(self.span(range.clone()), alone));
                    }
                }
                Event::Text(text) if slice(self.src, range.clone()) == &**text => {
                    if let Some((place, mark)) = looks::other_brackets(text) {
                        let span = self.span(range.start + place.start..range.start + place.end);
                        return Some(looks_like_mark::brackets(span, &mark));
                    }
                }
                _ => {}
            }
        }
        self.unopened(events, range)
    }

    fn unopened(&self, events: &Events, range: Range<usize>) -> Option<Finding> {
        let mut depth = 0_usize;
        for (event, piece) in events {
            let Event::Text(text) = event else { continue };
            if slice(self.src, piece.clone()) != &**text {
                continue;
            }
            for (n, bracket) in brackets(text) {
                let place = piece.start + n;
                let escaped = n == 0 && slice(self.src, ..place).ends_with('\\');
                match bracket {
                    _ if escaped => {}
                    b'[' => depth += 1,
                    _ if depth > 0 => depth -= 1,
                    _ => {
                        let line = line_start(self.src, place).max(range.start);
                        let start = line + looks::unopened(slice(self.src, line..place))?;
                        return Some(looks_like_mark::unopened(
                            self.span(start..place + 1),
                            slice(self.src, start..place),
                        ));
                    }
                }
            }
        }
        None
    }
}

fn overlap(one: &Range<usize>, other: &Range<usize>) -> bool {
    one.start < other.end && other.start < one.end
}

fn is_inline(event: &Event) -> bool {
    matches!(
        event,
        Event::Text(_)
            | Event::Code(_)
            | Event::SoftBreak
            | Event::HardBreak
            | Event::Start(Tag::Emphasis | Tag::Strong | Tag::Link { .. } | Tag::Image { .. })
            | Event::End(TagEnd::Emphasis | TagEnd::Strong | TagEnd::Link | TagEnd::Image)
    )
}

/// True if a quote starts with something in brackets, so that the reader takes it for a message or tells what is wrong with its tag.
fn tagged(quote: &str) -> bool {
    let first = unquoted(quote.lines().next().unwrap_or(""));
    first.starts_with("[!") || super::message::bare_tag(first).is_some()
}

/// A line without the signs of its quotes.
fn unquoted(line: &str) -> &str {
    line.trim_start_matches(|c: char| c == '>' || c.is_whitespace())
        .trim_end()
}

/// What a line would be if it were read, with its article.
fn what(line: &str) -> Option<&'static str> {
    let line = line.trim();
    let words = |rest: &str| rest.starts_with(|c: char| c.is_alphabetic() || matches!(c, '[' | '*' | '_' | '!'));
    let (digits, after) = split_digits(line);
    let after = after.strip_prefix(['.', ')']).filter(|_| !digits.is_empty());
    let bullet = line.strip_prefix(['-', '*', '+']).filter(|rest| rest.starts_with(' '));
    if after.is_some_and(|rest| words(rest.trim_start())) || bullet.is_some_and(|rest| words(rest.trim_start())) {
        Some("a step")
    } else if line.starts_with('#') && words(line.trim_start_matches('#').trim_start()) {
        Some("a heading")
    } else if line.starts_with('>') {
        Some("a message")
    } else if looks::bracketed(line).is_some() {
        Some("a mark")
    } else if line.starts_with("![") && line.contains("](") {
        Some("a picture")
    } else {
        None
    }
}
