//! The usual case: maps, lists and texts with nothing out of the ordinary about them, built from the events below the reader, which
//! takes half its time. Of anything else (a fault, a name for a value, a tag, a merge, a second document, more than a budget) nothing is
//! given: the reader is asked, and has the words for it. Where both give a tree it is the same, which every test asks of every text.

use super::{Key, Node, Place, Value};
use crate::budgets;
use serde_saphyr::granit_parser::{self, Event, Parser, ScalarStyle};

/// What is open: its place, and what has been read of it.
enum Open {
    List(granit_parser::Span, Vec<Node>),
    Map(granit_parser::Span, Vec<(Key, Node)>, Option<Key>),
}

/// The tree of a text, if it is a usual one.
pub fn tree(place: &Place) -> Option<Node> {
    let options = granit_parser::options! { emit_comments: false };
    let mut open: Vec<Open> = Vec::new();
    let mut whole = None;
    let (mut documents, mut nodes) = (0, 0);
    for next in Parser::new_from_str_with_options(place.text, options) {
        let (event, span) = next.ok()?;
        let node = match event {
            Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => continue,
            Event::DocumentStart(false, None) if documents == 0 => {
                documents += 1;
                continue;
            }
            Event::SequenceStart(_, 0, None) => {
                open.push(Open::List(span, Vec::new()));
                None
            }
            Event::MappingStart(_, 0, None) => {
                open.push(Open::Map(span, Vec::new(), None));
                None
            }
            Event::SequenceEnd | Event::MappingEnd => Some(place.closed(open.pop()?)?),
            Event::Scalar(text, style, 0, None) => {
                let plain = style == ScalarStyle::Plain;
                let null = plain && matches!(&*text, "" | "~" | "null" | "Null" | "NULL");
                let is_key = matches!(open.last(), Some(Open::Map(_, _, None)));
                if plain && (is_key && !is_plain_key(&text) || may_be_endless(&text)) {
                    return None;
                }
                let at = place.bytes(span)?;
                if null {
                    Some(Node {
                        span: place.inner(at),
                        value: Value::Null,
                    })
                } else {
                    Some(Node {
                        span: place.written_as(at, &text),
                        value: Value::Scalar(text.into_owned()),
                    })
                }
            }
            _ => return None,
        };
        nodes += 1;
        if nodes > budgets::YAML_NODES.most || open.len() >= budgets::YAML_DEPTH.most {
            return None;
        }
        let Some(node) = node else { continue };
        match open.last_mut() {
            None if whole.is_none() => whole = Some(node),
            None => return None,
            Some(Open::List(_, items)) => items.push(node),
            Some(Open::Map(_, entries, key)) => match (key.take(), node.value) {
                (Some(key), value) => entries.push((key, Node { span: node.span, value })),
                (None, Value::Scalar(text)) => *key = Some(Key { span: node.span, text }),
                (None, _) => return None,
            },
        }
    }
    whole.filter(|_| open.is_empty())
}

/// Words that YAML has taken for something else than a text, now or once.
const OTHER_THAN_TEXTS: [&str; 12] = [
    "true", "false", "yes", "no", "on", "off", "y", "n", "null", "nan", "inf", "infinity",
];

/// True of a word that is a text to every reader of YAML. The reader takes no others for a key.
fn is_plain_key(word: &str) -> bool {
    word.starts_with(char::is_alphabetic) && !OTHER_THAN_TEXTS.iter().any(|other| other.eq_ignore_ascii_case(word))
}

/// True of what may be a number that is none, or too great for one: the reader refuses those.
fn may_be_endless(word: &str) -> bool {
    let digits = word.trim_start_matches(['+', '-']);
    let number = digits.starts_with(|c: char| c.is_ascii_digit() || c == '.') && !digits.contains(' ');
    number && (digits.contains(['e', 'E', 'i', 'I', 'n', 'N']) || digits.len() > MOST_DIGITS)
}

/// No number of so many digits is too great.
const MOST_DIGITS: usize = 64;

impl Place<'_> {
    /// The place of an event.
    fn bytes(&self, span: granit_parser::Span) -> Option<crate::source::Span> {
        let (start, end) = (span.start.byte_offset()?, span.end.byte_offset()?);
        let start = self.snap(start);
        Some(self.part(start..self.snap(end).max(start)))
    }

    /// What has come to its end.
    fn closed(&self, open: Open) -> Option<Node> {
        Some(match open {
            Open::List(span, items) => Node {
                span: self.cover(self.bytes(span)?, items.last().map(|node| node.span)),
                value: Value::List(items),
            },
            Open::Map(_, _, Some(_)) => return None,
            Open::Map(span, entries, None) => Node {
                span: self.cover(self.bytes(span)?, entries.last().map(|(_, node)| node.span)),
                value: Value::Map(entries),
            },
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse::yaml::parse;
    use crate::source::FileSet;

    #[test]
    fn usual_texts_are_read_here_and_all_others_by_the_reader() {
        let usual = [
            "a: 1.50\nb: 12 N·m ± 10 %\nc: +90°\n",
            "a: {b: [1, 'x''y', \"q\\n\"], c: , d: ~}\ne:\n  - f\n  - g: h\n  -\n",
            "a: >\n  folded\n  text\nb: |\n  kept\n\nc: words that\n  go on\n",
            "a: 1\na: 2\n",
            "# words\na: b # more\n\"c\": 'd'\n",
            "a: 0x1F\nb: null\nd: yes\ne: 1_000\nf: 012\ng: 2026-01-31\nyesterday: 1\n",
            "- a\n- [b, {c: d}]\n",
            "µ: {ü: ö}\r\nb: \"é\"\r\n",
        ];
        let others = [
            "",
            "# words alone\n",
            "a: &x 7\nb: *x\n",
            "a: !!str 7\n",
            "<<: {a: 1}\nb: 2\n",
            "~: 1\n",
            "1: x\n",
            "yes: x\n",
            "True: x\n",
            "a: .inf\n",
            "a: -.NaN\n",
            "a: 1e999\n",
            "a: 1\n---\nb: 2\n",
            "---\na: 1\n",
            "a: [1\n",
            "? [a]\n: 1\n",
            "a: b: c\n",
        ];
        for (text, is_usual) in usual
            .map(|text| (text, true))
            .into_iter()
            .chain(others.map(|text| (text, false)))
        {
            assert_eq!(agreed(text), is_usual, "{text}");
        }
    }

    /// True if a text is read here: then it is read as the reader does.
    fn agreed(text: &str) -> bool {
        let files = FileSet::from_texts([("a.yaml", text)]);
        let place = Place {
            file: files.find("a.yaml").unwrap(),
            text,
            offset: 0,
        };
        let here = tree(&place);
        if here.is_some() {
            assert_eq!(here, parse(text).ok().map(|raw| place.node(raw)), "{text:?}");
        }
        here.is_some()
    }

    #[test]
    fn no_text_is_read_otherwise_than_by_the_reader() {
        const PIECES: [&str; 64] = [
            "a",
            "b",
            "id",
            ":",
            ": ",
            ":\n",
            "- ",
            "-",
            "\n",
            "\n",
            "\n  ",
            "\n    ",
            " ",
            "  ",
            "[",
            "]",
            "{",
            "}",
            ", ",
            "'",
            "\"",
            "''",
            "\\n",
            "\\",
            "#",
            " # ",
            "&x ",
            "*x",
            "!!str ",
            "!t ",
            "|\n",
            "| \n  ",
            ">-\n  ",
            "1",
            "0",
            "7.50",
            ".5",
            "e9",
            "1e999",
            ".inf",
            "-.nan",
            "NaN",
            "inf",
            "yes",
            "no",
            "null",
            "~",
            "<<",
            "? ",
            "---\n",
            "...\n",
            "\t",
            "µ",
            "ü",
            "\u{feff}",
            "%YAML 1.2\n",
            "0x1F",
            "0o7",
            "012",
            "1_000",
            "\r\n",
            "@",
            "`",
            "±",
        ];
        let mut state: u64 = 5;
        let mut next = |most: usize| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as usize % most
        };
        let mut read = 0;
        for _ in 0..120_000 {
            let text: String = (0..1 + next(14)).map(|_| PIECES[next(PIECES.len())]).collect();
            read += usize::from(agreed(&text));
        }
        assert!(read > 5_000, "{read}");
    }
}
