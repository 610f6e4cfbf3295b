//! Findings for a person: code, place, the source line underlined, a sentence, a fix.

use crate::finding::{Finding, Severity};
use crate::source::{FileSet, SourceFile, Span};
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Element, Group, Level, Origin, Patch, Renderer, Snippet};
use std::ops::Range;

/// How the text is to look.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// ANSI colour codes.
    pub colour: bool,
    /// Columns of the terminal.
    pub width: usize,
}

/// One finding, ending in a line break.
pub fn render(files: &FileSet, finding: &Finding, look: Look) -> String {
    let renderer = if look.colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let renderer = renderer.decor_style(DecorStyle::Ascii).term_width(look.width.max(40));
    let mut report = vec![main_group(files, finding)];
    report.extend(fix_group(files, finding, look));
    let text = renderer.render(&report);
    // The renderer begins an excerpt whose place has been said with a place of no words.
    let said = |line: &&str| unstyled(line).trim() != ":::";
    let mut text: String = text.split_inclusive('\n').filter(said).collect();
    text.push('\n');
    text
}

/// A line without colour codes.
fn unstyled(line: &str) -> String {
    let mut parts = line.split('\u{1b}');
    let mut plain = parts.next().unwrap_or("").to_string();
    for part in parts {
        plain.push_str(part.split_once('m').map_or("", |(_, rest)| rest));
    }
    plain
}

/// Bytes of an excerpt that is shown whole; of a longer one, what lies round each label: the renderer walks all of what it is given, for
/// each finding anew.
const LONG: usize = 4096;

/// Bytes of a long line that are kept on either side of a label; a terminal shows fewer.
const ROUND: usize = 600;

/// Columns taken by line numbers and signs.
const MARGIN: usize = 8;

fn level(severity: Severity) -> Level<'static> {
    match severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Advice => Level::NOTE.with_name("advice"),
    }
}

fn main_group<'a>(files: &'a FileSet, finding: &'a Finding) -> Group<'a> {
    let rule = finding.rule;
    let title = level(finding.severity())
        .primary_title(finding.message.as_str())
        .id(rule.code);
    let primary = &finding.primary;
    let mut snippets = vec![(primary.span, AnnotationKind::Primary, primary.text.as_str())];
    snippets.extend(
        finding
            .secondary
            .iter()
            .map(|l| (l.span, AnnotationKind::Context, l.text.as_str())),
    );
    let mut elements: Vec<Element> = Vec::new();
    let mut done: Vec<usize> = Vec::new();
    // Labels of one file share one excerpt; the finding's own file comes first.
    for (i, (span, ..)) in snippets.iter().enumerate() {
        if done.contains(&i) {
            continue;
        }
        let mut excerpt = excerpt(files, *span, snippets.iter().map(|(s, ..)| *s));
        let is_long = excerpt.range.len() > LONG;
        let mut snippet = if is_long {
            excerpt = excerpt.round(files.get(span.file), *span);
            let place = files.get(span.file).lines().position(excerpt.text, span.start as usize);
            let origin = Origin::path(excerpt.path).line(place.line).char_column(place.column);
            elements.push(origin.into());
            Snippet::source(excerpt.shown()).line_start(place.line)
        } else {
            excerpt.snippet()
        };
        for (j, (other, kind, text)) in snippets.iter().enumerate() {
            if other.file == span.file && (!is_long || j == i) {
                done.push(j);
                let annotation = kind.span(excerpt.local(*other));
                snippet = snippet.annotation(if text.is_empty() {
                    annotation
                } else {
                    annotation.label(*text)
                });
            }
        }
        elements.push(snippet.into());
    }
    title.elements(elements)
}

fn fix_group<'a>(files: &'a FileSet, finding: &'a Finding, look: Look) -> Option<Group<'a>> {
    let fix = finding.fix.as_ref()?;
    let words = || Some(Group::with_title(Level::HELP.secondary_title(fix.text.as_str())));
    let Some((span, text)) = &fix.replace else {
        return words();
    };
    let excerpt = excerpt(files, *span, [*span]);
    if excerpt.range.len() > LONG {
        return words();
    }
    // The renderer cuts a long line short round a label, but prints it whole, twice, for a change.
    if excerpt
        .shown()
        .lines()
        .any(|line| line.chars().count() + MARGIN > look.width)
    {
        return words();
    }
    let snippet = Snippet::source(excerpt.shown())
        .line_start(excerpt.line)
        .path(excerpt.path)
        .fold(true)
        .patch(Patch::new(excerpt.local(*span), text.as_str()));
    Some(Level::HELP.secondary_title(fix.text.as_str()).element(snippet))
}

/// A stretch of whole lines of a file.
struct Excerpt<'a> {
    path: &'a str,
    text: &'a str,
    range: Range<usize>,
    /// Number of its first line.
    line: usize,
}

impl<'a> Excerpt<'a> {
    fn shown(&self) -> &'a str {
        self.text.get(self.range.clone()).unwrap_or_default()
    }

    fn snippet<T: Clone>(&self) -> Snippet<'a, T> {
        Snippet::source(self.shown())
            .line_start(self.line)
            .path(self.path)
            .fold(true)
    }

    /// The same cut down to the line that a span begins in, and in that to what lies round it.
    fn round(self, file: &SourceFile, span: Span) -> Excerpt<'a> {
        let text = self.text;
        let at = (span.start as usize).min(text.len());
        let line = line_of(file, at);
        let start = (line.start.max(at.saturating_sub(ROUND))..=at).find(|i| text.is_char_boundary(*i));
        let start = start.unwrap_or(at);
        let most = text.len().min(at + ROUND);
        let end = line.end.min(most);
        let end = (at..=end).rev().find(|i| text.is_char_boundary(*i)).unwrap_or(at);
        Excerpt {
            range: start..end,
            ..self
        }
    }

    /// A span relative to the excerpt. One of no width is shown as one column where there is one.
    fn local(&self, span: Span) -> Range<usize> {
        let len = self.range.len();
        let start = (span.start as usize).saturating_sub(self.range.start).min(len);
        let end = (span.end as usize).saturating_sub(self.range.start).min(len);
        start..end.max(start)
    }
}

/// The line that a place is in, without its line end. A search for it would walk all of a long line, for each finding anew.
fn line_of(file: &SourceFile, at: usize) -> Range<usize> {
    let lines = file.lines();
    let line = lines.line(at);
    let start = lines.start(line).unwrap_or(0);
    let next = lines.start(line + 1).map(|next| next - 1);
    start..next.unwrap_or(file.text.len()).max(start)
}

/// The lines from the first to the last of the spans that lie in the file of `span`: a renderer given a whole file walks all of it.
fn excerpt(files: &FileSet, span: Span, spans: impl IntoIterator<Item = Span>) -> Excerpt<'_> {
    let file = files.get(span.file);
    let text = file.text.as_str();
    let (mut start, mut end) = (span.start as usize, span.end as usize);
    for other in spans {
        if other.file == span.file {
            start = start.min(other.start as usize);
            end = end.max(other.end as usize);
        }
    }
    let start = line_of(file, start).start;
    let line_end = line_of(file, end).end;
    // The first half of a two-character line end would be shown as a sign.
    let return_at = line_end
        .checked_sub(1)
        .filter(|last| *last >= start && text.as_bytes().get(*last) == Some(&b'\r'));
    let end = end.max(return_at.unwrap_or(line_end)).min(text.len());
    let line = file.lines().position(text, start).line;
    Excerpt {
        path: &file.path,
        text,
        range: start..end.max(start),
        line,
    }
}
