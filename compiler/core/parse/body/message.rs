//! Safety messages: block quotes that start with a tag.

use super::{Reader, onlys};
use crate::parse::rules::unknown_message_tag;
use crate::parse::texts::slice;
use crate::source::Span;
use crate::syntax::{Block, Inline, LEVELS, Level, Mark, Message, inline_marks, marks};
use pulldown_cmark::{CowStr, Event, Tag, TagEnd};

/// What starts the line that says how to avoid the hazard.
const AVOID: &str = "avoid:";

/// Prose that stands between two steps, as a note on the second.
pub fn note(span: Span, consequence: Vec<Block>) -> Message {
    Message {
        span,
        level: Level::Note,
        only: Vec::new(),
        hazard: Vec::new(),
        consequence,
        avoid: Vec::new(),
    }
}

impl Reader<'_> {
    /// A block quote: a message if it is tagged, else its blocks.
    pub(super) fn quote(&mut self) -> Result<Message, Vec<Block>> {
        let Some((_, range)) = self.peek() else {
            return Err(Vec::new());
        };
        self.advance();
        let level = self.tag();
        let mut message = note(self.span(self.trimmed(range)), Vec::new());
        let mut avoiding = false;
        let mut first = level.is_some();
        while let Some((event, _)) = self.peek() {
            match event {
                Event::End(TagEnd::BlockQuote(_)) => {
                    self.advance();
                    break;
                }
                Event::Start(Tag::Paragraph) => {
                    self.advance();
                    self.lines(&mut message, &mut avoiding, first, level.is_some());
                    self.close(TagEnd::Paragraph);
                }
                Event::End(_) => self.advance(),
                _ => {
                    let blocks = self.block();
                    part(&mut message, avoiding).extend(blocks);
                }
            }
            first = false;
        }
        let Some(level) = level else {
            let mut blocks = message.consequence;
            blocks.append(&mut message.avoid);
            return Err(blocks);
        };
        message.level = level;
        let mut found: Vec<&Mark> = Vec::new();
        inline_marks(&message.hazard, &mut found);
        found.extend(marks(&message.consequence));
        found.extend(marks(&message.avoid));
        message.only = onlys(&found);
        let found = found.into_iter().cloned().collect();
        self.forbid(found, "a safety message");
        Ok(message)
    }

    /// The paragraph's lines: in a tagged quote the first names the hazard, and `Avoid:` turns to the avoidance.
    fn lines(&mut self, message: &mut Message, avoiding: &mut bool, mut first: bool, tagged: bool) {
        let mut paragraph: Vec<Inline> = Vec::new();
        let mut begins = self.at;
        loop {
            let from = self.at;
            let (mut line, figures) = self.inlines(true);
            if first {
                trim_start(&mut line);
                message.hazard = line;
                first = false;
            } else {
                if let Some(after) = after_avoid(&line).filter(|_| tagged) {
                    self.push_paragraph(message, *avoiding, &mut paragraph, begins..from);
                    *avoiding = true;
                    line = after;
                }
                if paragraph.is_empty() {
                    begins = from;
                } else if !line.is_empty() {
                    paragraph.push(Inline::Text(" ".to_string()));
                }
                paragraph.append(&mut line);
            }
            if !figures.is_empty() {
                self.push_paragraph(message, *avoiding, &mut paragraph, begins..self.at);
                part(message, *avoiding).extend(figures);
            }
            match self.peek() {
                Some((Event::SoftBreak | Event::HardBreak, _)) => self.advance(),
                _ => break,
            }
        }
        self.push_paragraph(message, *avoiding, &mut paragraph, begins..self.at);
    }

    /// Ends a paragraph that some events made.
    fn push_paragraph(
        &self,
        message: &mut Message,
        avoiding: bool,
        paragraph: &mut Vec<Inline>,
        events: std::ops::Range<usize>,
    ) {
        if paragraph.is_empty() {
            return;
        }
        let span = self.span(self.taken(events));
        let text = std::mem::take(paragraph);
        part(message, avoiding).push(Block::Paragraph { span, text });
    }

    /// Takes `[!TAG]` off the head of a quote; `None` if there is none.
    fn tag(&mut self) -> Option<Level> {
        let at = self.at;
        let (Event::Start(Tag::Paragraph), range) = self.peek()? else {
            return None;
        };
        let text = slice(self.src, range.clone());
        let bare = bare_tag(text);
        let open = if bare.is_some() { "[" } else { "[!" };
        let line = text.strip_prefix(open)?.lines().next().unwrap_or("");
        let width = line.find(']').unwrap_or(line.trim_end().len());
        let (word, after) = line.split_at_checked(width).unwrap_or((line, ""));
        // What stands in the place of a bracket that is missing may be wider than one.
        let end = range.start + open.len() + word.len() + after.chars().next().map_or(1, char::len_utf8);
        let level = LEVELS.iter().find(|(tag, _)| *tag == word).map(|(_, level)| *level);
        let span = self.span(range.start..end.min(range.start + open.len() + line.trim_end().len()));
        if let Some(tag) = bare {
            self.findings.push(unknown_message_tag::without_sign(span, word, tag));
        } else if !line.contains(']') {
            self.findings.push(unknown_message_tag::unclosed(span));
        } else if level.is_none() {
            self.findings.push(unknown_message_tag::finding(span, word.trim()));
        }
        // The tag's own text events are cut off, so that what follows on the line is left.
        self.at = at + 1;
        while let Some((Event::Text(text), piece)) = self.events.get_mut(self.at) {
            if piece.end <= end {
                self.at += 1;
            } else {
                if piece.start < end {
                    *text = CowStr::from(slice(text, end - piece.start..).to_string());
                    piece.start = end;
                }
                break;
            }
        }
        // The paragraph's start event goes back in front of what is left.
        self.at -= 1;
        let end_of_line = range.end;
        if let Some(head) = self.events.get_mut(self.at) {
            *head = (Event::Start(Tag::Paragraph), end.min(end_of_line)..end_of_line);
        }
        // An unknown tag still makes a message, so that the words in it are checked; the finding stops the card.
        Some(level.unwrap_or(Level::Note))
    }
}

/// The tag that a quote starts with in brackets and without its sign: `[DANGER]`, in any case. A link is none.
pub(super) fn bare_tag(text: &str) -> Option<&'static str> {
    let (word, after) = text.strip_prefix('[')?.split_once(']')?;
    let tag = LEVELS
        .iter()
        .map(|(tag, _)| *tag)
        .find(|t| t.eq_ignore_ascii_case(word));
    tag.filter(|_| !after.starts_with(['(', '[', ':']))
}

/// Where words go: to the avoidance once it has begun, else to what happens.
fn part(message: &mut Message, avoiding: bool) -> &mut Vec<Block> {
    if avoiding {
        &mut message.avoid
    } else {
        &mut message.consequence
    }
}

/// What follows `Avoid:` at the head of a line; `None` if it doesn't begin so. The word, its colon or all of the line may be set off.
fn after_avoid(line: &[Inline]) -> Option<Vec<Inline>> {
    let (first, rest) = line.split_first()?;
    let mut rest = rest.to_vec();
    let own = match first {
        Inline::Text(text) => {
            let (word, after) = text.trim_start().split_at_checked(AVOID.len())?;
            Some(
                word.eq_ignore_ascii_case(AVOID)
                    .then(|| Inline::Text(after.to_string()))?,
            )
        }
        Inline::Strong(inner) | Inline::Emphasis(inner) if is_avoid_alone(inner) => {
            let Some(Inline::Text(text)) = rest.first_mut() else {
                return None;
            };
            *text = text.strip_prefix(':')?.to_string();
            None
        }
        Inline::Strong(inner) => Some(after_avoid(inner)?)
            .filter(|left| !left.is_empty())
            .map(Inline::Strong),
        Inline::Emphasis(inner) => Some(after_avoid(inner)?)
            .filter(|left| !left.is_empty())
            .map(Inline::Emphasis),
        Inline::Code(_) | Inline::Link { .. } | Inline::Mark(_) | Inline::Break => return None,
    };
    let mut after: Vec<Inline> = own.into_iter().chain(rest).collect();
    trim_start(&mut after);
    Some(after)
}

/// True of the word without its colon.
fn is_avoid_alone(inner: &[Inline]) -> bool {
    match inner {
        [Inline::Text(text)] => text.trim().eq_ignore_ascii_case(AVOID.trim_end_matches(':')),
        [Inline::Strong(inner) | Inline::Emphasis(inner)] => is_avoid_alone(inner),
        _ => false,
    }
}

fn trim_start(line: &mut Vec<Inline>) {
    if let Some(Inline::Text(text)) = line.first_mut() {
        *text = text.trim_start().to_string();
        if text.is_empty() {
            line.remove(0);
        }
    }
}
