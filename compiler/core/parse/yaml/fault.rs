//! What is most likely wrong with a piece of YAML that can't be read, in the words of somebody who writes it for the first time.
//!
//! Each guess is a sign that stands in the text: a tab, a quote or bracket that isn't closed, a `#`, a colon. A change is offered only
//! where the piece reads once it is made.

use crate::parse::texts::{slice, split_first, split_while};
use crate::source::FileId;
use std::cell::Cell;
use std::collections::BTreeSet;
use std::ops::Range;

/// A fault and its cure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where, in the text.
    pub at: Range<usize>,
    /// What is wrong, without its full stop.
    pub what: String,
    /// What to do.
    pub help: String,
    /// The change that makes the piece readable, if one does.
    pub change: Option<(Range<usize>, String)>,
}

/// Tells whether a text can be read.
pub struct Reads<'a> {
    pub read: fn(FileId, &str) -> bool,
    /// The file that it stands in.
    pub file: FileId,
    /// Bytes that may still be read. A piece of many lines has as many changes, and is read anew with each: past what a guess is worth, nothing
    /// is tried any more.
    pub left: &'a Cell<usize>,
}

impl Reads<'_> {
    /// Tells whether pieces of a text can be read together.
    fn joined(&self, pieces: &[&str]) -> bool {
        let length = pieces.iter().map(|piece| piece.len()).sum();
        let left = self.left.get().checked_sub(length);
        self.left.set(left.unwrap_or(0));
        left.is_some() && (self.read)(self.file, &pieces.concat())
    }
}

/// The fault of the lines in `range`; `reads` is asked about the piece with a change made, and nothing else of the text.
pub fn find(text: &str, range: Range<usize>, reads: Reads) -> Option<Fault> {
    let search = Search { text, range, reads };
    let lines = search.lines();
    let mut each = lines.iter();
    each.find_map(|line| search.tab(line))
        .or_else(|| lines.iter().find_map(|line| search.odd_space(line)))
        .or_else(|| lines.iter().find_map(|line| search.quote(line)))
        .or_else(|| lines.iter().find_map(|line| search.all_quoted(line)))
        .or_else(|| lines.iter().find_map(|line| search.tight_bracket(line)))
        .or_else(|| search.bracket())
        .or_else(|| lines.iter().find_map(|line| search.tight_colon(line)))
        .or_else(|| lines.iter().find_map(|line| search.reserved(line)))
        .or_else(|| lines.iter().find_map(|line| search.colon(line)))
        .or_else(|| search.indent(&lines))
        .or_else(|| lines.iter().find_map(|line| search.no_colon(line)))
}

/// The fault of a piece whose first line stands further out than the piece above that it belongs to.
pub fn outdented(text: &str, above: Range<usize>, piece: Range<usize>, reads: Reads) -> Option<Fault> {
    let first = slice(text, piece.clone()).split_inclusive('\n').next()?;
    let words = first.trim_start();
    let indent = first.len() - words.len();
    let mut indents: Vec<usize> = slice(text, above.clone())
        .lines()
        .filter(|line| !line.trim().is_empty())
        .map(|line| line.len() - line.trim_start_matches(' ').len())
        .filter(|other| *other > indent)
        .collect();
    indents.reverse();
    let mut tried = BTreeSet::new();
    indents.retain(|other| tried.insert(*other));
    for wanted in indents {
        let joined = [
            slice(text, above.start..piece.start),
            &" ".repeat(wanted),
            slice(text, piece.start + indent..piece.end),
        ];
        if reads.joined(&joined) {
            return Some(Fault {
                at: piece.start + indent..piece.start + indent + words.trim_end().len(),
                what: "this line stands further out than those that it belongs to".to_string(),
                help: by(wanted),
                change: Some((piece.start..piece.start + indent, " ".repeat(wanted))),
            });
        }
    }
    None
}

pub(super) struct Search<'a> {
    pub(super) text: &'a str,
    pub(super) range: Range<usize>,
    reads: Reads<'a>,
}

/// A line of a piece.
struct Line<'a> {
    /// Where its words begin and end.
    at: usize,
    end: usize,
    indent: &'a str,
    words: &'a str,
}

impl Line<'_> {
    /// The value behind the key: where it begins, and its words without a comment.
    fn value(&self) -> Option<(usize, &str)> {
        let (_, value) = self.words.split_once(": ")?;
        let value = value.trim_start();
        Some((self.end - value.len(), value))
    }
}

impl<'a> Search<'a> {
    fn lines(&self) -> Vec<Line<'a>> {
        let mut at = self.range.start;
        let mut lines = Vec::new();
        for line in slice(self.text, self.range.clone()).split_inclusive('\n') {
            let (indent, words) = split_while(line, |c| c != '\n' && c.is_whitespace());
            let start = at + indent.len();
            let words = words.trim_end();
            if !words.is_empty() && !words.starts_with('#') {
                lines.push(Line {
                    at: start,
                    end: start + words.len(),
                    indent,
                    words,
                });
            }
            at += line.len();
        }
        lines
    }

    /// The change, if the piece reads with it.
    pub(super) fn cures(&self, at: Range<usize>, with: &str) -> Option<(Range<usize>, String)> {
        let pieces = [
            slice(self.text, self.range.start..at.start),
            with,
            slice(self.text, at.end..self.range.end),
        ];
        self.reads.joined(&pieces).then(|| (at, with.to_string()))
    }

    pub(super) fn fault(
        &self,
        at: Range<usize>,
        what: &str,
        help: &str,
        change: Option<(Range<usize>, String)>,
    ) -> Option<Fault> {
        Some(Fault {
            at,
            what: what.to_string(),
            help: help.to_string(),
            change,
        })
    }

    fn tab(&self, line: &Line) -> Option<Fault> {
        let tab = line.indent.find('\t')?;
        let start = line.at - line.indent.len();
        let spaces = line.indent.replace('\t', "  ");
        let change = self.cures(start..line.at, &spaces);
        let at = start + tab..start + tab + 1;
        self.fault(
            at,
            "this line is indented with a tab, which YAML doesn't take",
            "indent with spaces",
            change,
        )
    }

    /// A no-break space or the like in the indent, or behind a colon or hyphen.
    fn odd_space(&self, line: &Line) -> Option<Fault> {
        let odd = |c: char| c != ' ' && c != '\t' && c.is_whitespace() || matches!(c, '\u{200b}' | '\u{feff}');
        let start = line.at - line.indent.len();
        let what = "a no-break space stands here, which is no space to YAML";
        let help = "put a plain space there";
        if let Some((place, c)) = line.indent.char_indices().find(|(_, c)| odd(*c)) {
            let plain: String = line.indent.chars().map(|c| if odd(c) { ' ' } else { c }).collect();
            let change = self.cures(start..line.at, &plain);
            return self.fault(start + place..start + place + c.len_utf8(), what, help, change);
        }
        let behind_sign = |place: usize| {
            let before = slice(line.words, ..place);
            before.ends_with(':') || before == "-"
        };
        let mut places = line.words.char_indices();
        let (place, c) = places.find(|(place, c)| odd(*c) && behind_sign(*place))?;
        let at = line.at + place..line.at + place + c.len_utf8();
        let change = self.cures(at.clone(), " ");
        self.fault(at, what, help, change)
    }

    fn quote(&self, line: &Line) -> Option<Fault> {
        let (start, value) = line.value().or_else(|| {
            let item = line.words.strip_prefix("- ")?.trim_start();
            Some((line.end - item.len(), item))
        })?;
        let quote = value.chars().next().filter(|c| matches!(c, '"' | '\''))?;
        let inner = value.strip_prefix(quote)?;
        let closing = closing(inner, quote);
        let Some(close) = closing else {
            let change = self.cures(line.end..line.end, &quote.to_string());
            return self.fault(
                start..start + 1,
                "the quote that opens here is not closed",
                "put the same quote at the end of the value",
                change,
            );
        };
        let rest = slice(inner, close + 1..).trim_start();
        if rest.is_empty() || rest.starts_with('#') || rest.starts_with([',', '}', ']', ':']) {
            return None;
        }
        let at = start + 1 + close..start + 2 + close;
        let whole = value.trim_end();
        let bare = whole.strip_prefix(quote).and_then(|w| w.strip_suffix(quote));
        let cured = match bare {
            // An apostrophe or inch sign inside of the quotes.
            Some(bare) if quote == '\'' && !bare.contains(['"', '\\']) => Some(format!("\"{bare}\"")),
            Some(bare) if quote == '"' && !bare.contains('\'') => Some(format!("'{bare}'")),
            _ if !whole.contains('\'') => Some(format!("'{whole}'")),
            _ => None,
        };
        let change = cured.and_then(|cured| self.cures(start..start + whole.len(), &cured));
        self.fault(
            at,
            "the quote ends here, and more words follow",
            "put the whole value in quotes, of the kind that it doesn't hold",
            change,
        )
    }

    /// `"key: value"`.
    fn all_quoted(&self, line: &Line) -> Option<Fault> {
        let quote = line.words.chars().next().filter(|c| matches!(c, '"' | '\''))?;
        let inner = line.words.strip_prefix(quote)?.strip_suffix(quote)?;
        if !inner.contains(": ") || inner.contains(quote) {
            return None;
        }
        let change = self.cures(line.at..line.end, inner);
        self.fault(
            line.at..line.end,
            "these quotes take in the `:`, so this is no field",
            "take them out, or put them round the value alone",
            change,
        )
    }

    /// `key:value`.
    fn tight_colon(&self, line: &Line) -> Option<Fault> {
        let words = line.words.strip_prefix("- ").unwrap_or(line.words);
        let from = line.end - words.len();
        let (name, after) = words.split_once(':')?;
        let next = after.chars().next()?;
        let fits = !name.is_empty()
            && name
                .chars()
                .all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.'));
        if !fits || next.is_whitespace() || after.starts_with("//") {
            return None;
        }
        let colon = from + name.len();
        let at = colon..colon + 1;
        let change = self.cures(at.clone(), ": ");
        self.fault(at, "this `:` needs a space behind it", "put a space there", change)
    }

    /// `key:{…}`, which YAML takes for one word or for a fault, wherever it stands on the line.
    fn tight_bracket(&self, line: &Line) -> Option<Fault> {
        let mut colons = tight_brackets(line.words);
        let first = line.at + colons.next()? + 1;
        let last = colons.last().map_or(first, |colon| line.at + colon + 1);
        let between = slice(self.text, first..last).replace(":{", ": {").replace(":[", ": [");
        let spaced = if between.is_empty() {
            " ".to_string()
        } else {
            format!(" {between} ")
        };
        let change = Some(self.cures(first..last, &spaced)?);
        self.fault(
            first - 1..first,
            "this `:` needs a space behind it",
            "put a space there",
            change,
        )
    }

    /// A value that begins with a sign that YAML keeps for itself.
    fn reserved(&self, line: &Line) -> Option<Fault> {
        let (start, value) = line.value()?;
        let (sign, after) = split_first(value)?;
        let block = matches!(sign, '|' | '>') && after.trim_start_matches(['-', '+', '1', '2', '4']).trim().is_empty();
        let spaced = matches!(sign, '-' | '?') && after.starts_with(' ');
        if !spaced && !matches!(sign, '@' | '`' | '%' | '*' | '&' | '!' | '|' | '>' | ',') || block {
            return None;
        }
        let quoted = quoted(value)?;
        let change = Some(self.cures(start..line.end, &quoted)?);
        self.fault(
            start..start + sign.len_utf8(),
            &match sign {
                '`' => "a value can't begin with a backtick, which YAML keeps for itself".to_string(),
                sign => format!("a value can't begin with `{sign}`, which means something else to YAML"),
            },
            "put quotes round the value",
            change,
        )
    }

    /// `key: words: more words`.
    fn colon(&self, line: &Line) -> Option<Fault> {
        let (start, value) = line.value()?;
        if value.starts_with(['{', '[']) {
            return self.flow(start, value);
        }
        if value.starts_with(['"', '\'']) {
            return None;
        }
        let colon = value
            .find(": ")
            .or_else(|| value.ends_with(':').then(|| value.len() - 1))?;
        let bare = value.split(" #").next().unwrap_or(value).trim_end();
        // `(what: …, at-least: …)` is meant as fields.
        let fields = value.starts_with('(') || value.matches(": ").count() > 1;
        let change = quoted(bare).filter(|_| !fields);
        let change = change.and_then(|quoted| self.cures(start..start + bare.len(), &quoted));
        if fields {
            return self.fault(
                start + colon..start + colon + 1,
                "several fields stand on this line, without the braces that hold them together",
                "put them between `{` and `}`, or each on a line of its own",
                None,
            );
        }
        self.fault(
            start + colon..start + colon + 1,
            "a value can't hold a `:` with a space behind it unless it stands in quotes",
            "put quotes round the value, or start the second field on a line of its own",
            change,
        )
    }

    /// `{name: words other: words}`, or words behind the last bracket.
    fn flow(&self, start: usize, value: &str) -> Option<Fault> {
        let mut from = 0;
        for part in value.split(',') {
            let second = part.match_indices(": ").nth(1);
            if let Some((at, _)) = second.filter(|_| !part.contains(['"', '\''])) {
                let at = start + from + at;
                return self.fault(
                    at..at + 1,
                    "a `,` is missing between two fields, or this `:` belongs to a value that must stand in quotes",
                    "put a `,` before the second field, or quotes round the value",
                    None,
                );
            }
            from += part.len() + 1;
        }
        let (_, rest) = value.rsplit_once(['}', ']'])?;
        let rest = rest.trim_start();
        if rest.is_empty() || rest.starts_with('#') {
            return None;
        }
        let at = start + value.len() - rest.len();
        self.fault(
            at..at + rest.len(),
            "these words stand behind the bracket that ends the value",
            "put them into `note:`, or delete them",
            None,
        )
    }

    /// A line that stands further in or out than those beside it.
    fn indent(&self, lines: &[Line]) -> Option<Fault> {
        let is_key =
            |line: &Line| line.words.contains(": ") || line.words.ends_with(':') || line.words.starts_with("- ");
        if let [first, second, ..] = lines
            && first.indent.len() > second.indent.len()
            && let Some(change) = self.cures(first.at - first.indent.len()..first.at, second.indent)
        {
            return self.fault(
                first.at..first.end,
                "this line stands further in than those that it belongs to",
                &by(second.indent.len()),
                Some(change),
            );
        }
        // How far in the lines above stand, each once, the nearest first.
        let mut indents: Vec<&str> = Vec::new();
        for (above, line) in lines.iter().zip(lines.iter().skip(1)) {
            indents.retain(|indent| *indent != above.indent);
            indents.insert(0, above.indent);
            let wanted = indents.iter().filter(|indent| **indent != line.indent);
            for indent in wanted.copied().filter(|_| is_key(line)) {
                let start = line.at - line.indent.len();
                if let Some(change) = self.cures(start..line.at, indent) {
                    let side = if line.indent.len() > indent.len() {
                        "further in"
                    } else {
                        "further out"
                    };
                    return self.fault(
                        line.at..line.end,
                        &format!("this line stands {side} than those that it belongs to"),
                        &by(indent.len()),
                        Some(change),
                    );
                }
            }
        }
        None
    }

    /// Words without any `:`.
    fn no_colon(&self, line: &Line) -> Option<Fault> {
        let bare = line.words.trim_start_matches("- ");
        if bare.contains(':') || bare.starts_with(['"', '\'', '{', '[', '}', ']']) {
            return None;
        }
        let change = bare.split_once('=').and_then(|(name, value)| {
            let from = line.end - bare.len();
            let (name, value) = (name.trim_end(), value.trim_start());
            let is_name = !name.is_empty() && !name.contains(' ');
            is_name.then(|| self.cures(from + name.len()..line.end - value.len(), ": "))?
        });
        let what = if change.is_some() {
            "a field is written with `:`, not with `=`"
        } else {
            "this line has no `:`, so it is no field"
        };
        self.fault(line.at..line.end, what, "write it as `name: value`", change)
    }
}

/// The colons of a line that stand between a name and a bracket, without a space.
pub(super) fn tight_brackets(words: &str) -> impl Iterator<Item = usize> {
    words.match_indices([':']).map(|(at, _)| at).filter(|at| {
        let (before, after) = (slice(words, ..*at), slice(words, at + 1..));
        before.ends_with(|c: char| c.is_alphanumeric()) && after.starts_with(['{', '['])
    })
}

/// How far in a line must stand.
fn by(spaces: usize) -> String {
    match spaces {
        0 => "start it at the left edge".to_string(),
        1 => "indent it by 1 space".to_string(),
        _ => format!("indent it by {spaces} spaces"),
    }
}

/// Where a quoted text ends.
fn closing(inner: &str, quote: char) -> Option<usize> {
    let mut chars = inner.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        match c {
            '\\' if quote == '"' => {
                chars.next();
            }
            '\'' if quote == '\'' && chars.peek().is_some_and(|(_, next)| *next == '\'') => {
                chars.next();
            }
            c if c == quote => return Some(at),
            _ => {}
        }
    }
    None
}

/// A value in quotes, of the kind that it doesn't hold.
pub(super) fn quoted(value: &str) -> Option<String> {
    if !value.contains(['"', '\\']) {
        Some(format!("\"{value}\""))
    } else if !value.contains('\'') {
        Some(format!("'{value}'"))
    } else {
        None
    }
}
