//! What can be read as YAML and was hardly meant so: words that a comment, a name or the line above takes in, quotes that are none,
//! fields that are commented out.

use super::{Node, Value};
use crate::finding::Finding;
use crate::parse::names;
use crate::parse::rules::{commented_out, odd_quotes, swallowed_words};
use crate::parse::texts::{self, slice};
use crate::source::{FileId, Span};

/// Looks through a text that begins at `offset` in its file and was read as `node`.
pub fn told(file: FileId, text: &str, offset: usize, node: &Node) -> Vec<Finding> {
    let mut look = Look {
        file,
        text,
        offset,
        findings: Vec::new(),
        scalars: Vec::new(),
    };
    look.node(node);
    look.comments();
    look.findings.sort_by_key(|finding| finding.primary.span);
    look.findings
}

struct Look<'a> {
    file: FileId,
    text: &'a str,
    offset: usize,
    findings: Vec<Finding>,
    /// Where scalars stand, in the text.
    scalars: Vec<std::ops::Range<usize>>,
}

impl Look<'_> {
    fn span(&self, start: usize, end: usize) -> Span {
        Span::new(self.file, self.offset + start, self.offset + end)
    }

    fn node(&mut self, node: &Node) {
        match &node.value {
            Value::Scalar(_) => {
                let range = node.span.range();
                let in_text = range
                    .start
                    .checked_sub(self.offset)
                    .zip(range.end.checked_sub(self.offset));
                if let Some((start, end)) = in_text.filter(|(start, end)| self.text.get(*start..*end).is_some()) {
                    self.scalars.push(start..end);
                    self.scalar(start, end);
                }
            }
            Value::List(items) => items.iter().for_each(|item| self.node(item)),
            Value::Map(entries) => entries.iter().for_each(|(_, node)| self.node(node)),
            Value::Null | Value::Lost => {}
        }
    }

    fn scalar(&mut self, start: usize, end: usize) {
        let text = self.text;
        let words = slice(text, start..end);
        let before = slice(text, ..start);
        let quoted = before.ends_with(['"', '\'']) || words.starts_with(['"', '\'', '|', '>']);
        if quoted || words.is_empty() {
            return;
        }
        let line_start = texts::line_start(text, start);
        // `&name` and `!tag` stand between the colon and the value.
        let lead = slice(text, line_start..start).trim_end();
        let sign = lead.rsplit([' ', ':', '[', ',', '{']).next().unwrap_or(lead);
        if let Some(name) = sign
            .strip_prefix('&')
            .filter(|name| !self.text.contains(&format!("*{name}")))
        {
            let at = line_start + lead.len() - sign.len();
            let message = format!("YAML takes `&{name}` for a name of this value, and leaves it out");
            self.findings
                .push(swallowed_words::quotes(self.span(at, at + sign.len()), &message));
        } else if sign.starts_with('!') {
            let at = line_start + lead.len() - sign.len();
            let message = format!("YAML takes `{sign}` for the kind of this value, and leaves it out");
            self.findings
                .push(swallowed_words::quotes(self.span(at, at + sign.len()), &message));
        }
        for (n, line) in words.split('\n').enumerate() {
            let at = line.as_ptr() as usize - text.as_ptr() as usize;
            let item = line.trim();
            let at = at + line.len() - line.trim_start().len();
            let hyphen = item.starts_with("- ")
                || item
                    .strip_prefix('-')
                    .is_some_and(|rest| rest.starts_with(char::is_alphabetic));
            if (n > 0 && item.starts_with("- ")) || (hyphen && !item.starts_with("- ")) || item.starts_with('•') {
                self.findings
                    .push(swallowed_words::item(self.span(at, at + item.len()), n > 0));
                return;
            }
        }
        let opens = words.matches(['[', '{']).count();
        let closes = words.matches([']', '}']).count();
        if closes > opens && words.ends_with([']', '}']) {
            self.findings.push(swallowed_words::bracket(
                self.span(end - 1, end),
                slice(words, words.len() - 1..),
            ));
        }
        let rest = slice(text, end..).lines().next().unwrap_or("");
        let comment = rest.trim_start();
        let hash = comment
            .strip_prefix('#')
            .is_some_and(|after| after.starts_with(|c: char| c.is_alphanumeric()));
        if hash && rest.len() > comment.len() {
            let from = end + rest.len() - comment.len();
            let whole = slice(text, start..end + rest.trim_end().len());
            let change = (!whole.contains(['"', '\\', '\n'])).then(|| format!("\"{whole}\""));
            let span = self.span(from, from + comment.trim_end().len());
            let place = self.span(start, end + rest.trim_end().len());
            self.findings
                .push(swallowed_words::comment(span, change.map(|change| (place, change))));
        }
        let pairs = [('“', '”'), ('„', '“'), ('„', '”'), ('‘', '’'), ('«', '»'), ('”', '”')];
        let unwrapped = |(open, close): &(char, char)| words.strip_prefix(*open)?.strip_suffix(*close);
        if let Some(inner) = pairs.iter().find_map(unwrapped) {
            let change = (!inner.contains(['"', '\\'])).then(|| format!("\"{inner}\""));
            self.findings.push(odd_quotes::finding(self.span(start, end), change));
        }
    }

    /// Comments on lines of their own that hold a field or an item.
    fn comments(&mut self) {
        let mut at = 0;
        for line in self.text.split_inclusive('\n') {
            let words = line.trim();
            let start = at + line.len() - line.trim_start().len();
            at += line.len();
            let Some(comment) = words.strip_prefix('#').map(str::trim) else {
                continue;
            };
            if self
                .scalars
                .iter()
                .any(|scalar| scalar.start <= start && start < scalar.end)
            {
                continue;
            }
            if let Some(what) = field(comment) {
                self.findings
                    .push(commented_out::finding(self.span(start, start + words.len()), what));
            }
        }
    }
}

/// What a comment holds if it is a field or an item, with its article.
fn field(comment: &str) -> Option<&'static str> {
    if let Some(item) = comment.strip_prefix("- ") {
        return item
            .starts_with(|c: char| c.is_alphanumeric() || matches!(c, '{' | '"'))
            .then_some("an item of a list");
    }
    let (name, value) = comment.trim_start_matches('"').split_once(':')?;
    let name = name.trim_end_matches('"');
    let fits = !name.is_empty()
        && name
            .chars()
            .all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.'));
    if !fits || !(value.is_empty() || value.starts_with(' ')) {
        return None;
    }
    let value = value.trim();
    let known = names::begins_no_remark(name);
    let entry = value.starts_with(['{', '[']) || value.starts_with(|c: char| c.is_ascii_digit() || c == '±');
    let lower = name.starts_with(|c: char| c.is_lowercase()) && !names::REMARKS.contains(&name);
    let register = value.is_empty() && lower;
    (known || entry || register).then_some(if known { "a field" } else { "an entry" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn remarks_are_told_from_fields() {
        for comment in [
            "count: 4",
            "torques:",
            "tag: {name: Tag}",
            "- top",
            "bore: 12 mm",
            "M8: 24 N·m",
        ] {
            assert!(field(comment).is_some(), "{comment}");
        }
        for comment in [
            "Off and on again",
            "The figure is from the drawing: look there",
            "note: ours",
            "Ours: nobody else's",
            "TODO: look",
            "",
        ] {
            assert!(field(comment).is_none(), "{comment}");
        }
    }
}
