//! Values in braces that YAML ends at a comma of their own.

use crate::domain::quantity::{ValueError, ValueErrorKind, comma_read};
use crate::finding::Finding;
use crate::parse::rules::{bad_value, unknown_field};
use crate::parse::yaml::{Key, Node, Value};
use crate::source::Span;

/// A value that YAML ended at a comma, and how many keys without values its other pieces became.
pub struct Cut {
    pub finding: Finding,
    pub pieces: usize,
    /// Where the first piece stands, if what was said of it alone is no more to be told.
    first: Option<Span>,
}

impl Cut {
    /// True of a finding that only follows from the cut.
    pub fn covers(&self, finding: &Finding) -> bool {
        self.first.is_some_and(|first| {
            finding.primary.span.file == first.file && first.range().contains(&finding.primary.span.range().start)
        })
    }
}

/// The cut value that begins with the first entry here, if it is one.
pub fn cut_value(entries: &[(&Key, &Node)], known: &[&'static str]) -> Option<Cut> {
    in_brackets(entries, known).or_else(|| decimal(entries))
}

/// `{calc: max(a, b)}` is a `calc` of `max(a` and a field `b)` to YAML.
fn in_brackets(entries: &[(&Key, &Node)], known: &[&'static str]) -> Option<Cut> {
    let ((key, node), rest) = entries.split_first()?;
    let (first, _) = rest.first()?;
    let Value::Scalar(start) = &node.value else { return None };
    let open = |text: &str| text.matches('(').count() > text.matches(')').count();
    let mut whole = start.clone();
    for (at, (piece, value)) in rest.iter().enumerate() {
        if !open(&whole) || value.value != Value::Null || known.contains(&piece.text.as_str()) {
            return None;
        }
        whole = format!("{whole}, {}", piece.text);
        if !open(&whole) && node.span.end <= piece.span.start {
            let span = Span::new(node.span.file, node.span.start as usize, piece.span.end as usize);
            return Some(Cut {
                finding: unknown_field::cut(first.span, span, &key.text, &whole),
                pieces: at + 1,
                first: None,
            });
        }
    }
    None
}

/// `{torque: 9,5 N·m}` is a `torque` of 9 and a field `5 N·m` to YAML.
fn decimal(entries: &[(&Key, &Node)]) -> Option<Cut> {
    let ((_, node), rest) = entries.split_first()?;
    let Value::Scalar(start) = &node.value else { return None };
    let (mut whole, mut end, mut pieces) = (start.clone(), node.span.end, 0);
    for (piece, value) in rest {
        // A list of figures would have a space behind its comma.
        let goes_on = whole.ends_with(|c: char| c.is_ascii_digit()) && piece.span.start == end + 1;
        if !goes_on || !is_piece(piece, value) {
            break;
        }
        whole = format!("{whole},{}", piece.text);
        (end, pieces) = (piece.span.end, pieces + 1);
    }
    let found = numbers_with_commas(&whole);
    let (at, first) = found.first().cloned()?;
    if pieces == 0 {
        return None;
    }
    let whole_span = Span::new(node.span.file, node.span.start as usize, end as usize);
    let place = whole_span.slice(at..at + first.len());
    let certain = found
        .iter()
        .all(|(_, number)| matches!(comma_read(number), (Some(_), None)));
    let finding = if found.len() > 1 && certain {
        bad_value::commas(whole_span, whole.replace(',', "."))
    } else {
        bad_value::finding(
            place,
            &ValueError::new(0..first.len(), ValueErrorKind::CommaInNumber { found: first }),
        )
    };
    Some(Cut {
        finding,
        pieces,
        first: Some(node.span),
    })
}

/// True of what may be the rest of a figure: `5 N·m`, and no value.
pub fn is_piece(key: &Key, value: &Node) -> bool {
    value.value == Value::Null && key.text.starts_with(|c: char| c.is_ascii_digit())
}

/// The numbers of a text that have a comma in them, with their places.
fn numbers_with_commas(text: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    let mut start = 0;
    for part in text.split_inclusive(|c: char| !c.is_ascii_digit() && c != ',') {
        let number = part.trim_end_matches(|c: char| !c.is_ascii_digit());
        if number.contains(',') {
            found.push((start, number.to_string()));
        }
        start += part.len();
    }
    found
}
