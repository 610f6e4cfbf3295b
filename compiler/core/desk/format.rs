//! How an author's text is spelt: units by their symbol, marks with one space, quotes where another reader of YAML would take a text for
//! something else. Only such spans are changed: remarks, the order of keys and prose stay as they are, and so does every code.

use super::place;
use crate::Compilation;
use crate::compile;
use crate::domain::quantity::spelling::canonical;
use crate::leaves;
use crate::parse::head::probe;
use crate::parse::head::shape::{Inside, Shape, Takes};
use crate::parse::yaml::{Node, Value};
use crate::parse::{body, front_matter, mark, yaml};
use crate::source::{FileId, FileSet, Span};
use crate::syntax::{Body, Mark, MarkKind, inline_marks, marks};
use std::collections::BTreeMap;

/// A span that becomes another text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    pub span: Span,
    pub text: String,
}

/// Changes by file.
pub type Edits = BTreeMap<FileId, Vec<Edit>>;

/// The edits of one file, in order of place and apart from each other.
fn edits(files: &FileSet, file: FileId) -> Vec<Edit> {
    let source = files.get(file);
    let mut found = Vec::new();
    // Of a text that breaks off, or that git would show as changed from end to end, nothing is touched.
    if source.broken_at.is_some() || source.cut {
        return found;
    }
    if let Some((head, range)) = place::head(source)
        && let Some(text) = source.text.get(range.clone())
        && let (Some(node), _) = yaml::read(file, text, range.start)
    {
        in_map(files, probe::of(head), &node, &mut found);
    }
    if let Some(Some((_, start))) =
        front_matter(&source.text, source.head().start).filter(|_| source.path.ends_with(".md"))
    {
        let (body, _) = body::read(file, &source.text, start);
        for mark in every_mark(&body) {
            found.extend(of_mark(files, mark));
        }
    }
    found.sort_by_key(|edit| edit.span);
    found.dedup_by(|a, b| a.span.start < b.span.end);
    found
}

/// Every wanted file that is spelt otherwise, with its text as it should be.
pub fn formatted(files: &FileSet, wanted: &dyn Fn(&str) -> bool) -> BTreeMap<String, String> {
    let edits = wanted_edits(files, wanted);
    let texts = edits
        .iter()
        .map(|(file, edits)| (files.get(*file).path.clone(), applied(&files.get(*file).text, edits)));
    texts.collect()
}

/// The edits of every wanted file that has any. No code of a leaf changes by them, nor what is found: those by which it would are left out.
pub fn wanted_edits(files: &FileSet, wanted: &dyn Fn(&str) -> bool) -> Edits {
    let own = files.ids().filter(|file| wanted(&files.get(*file).path));
    let mut all: Edits = own.map(|file| (file, edits(files, file))).collect();
    all.retain(|_, edits| !edits.is_empty());
    if all.is_empty() {
        return all;
    }
    let before = state(files, &compile(files));
    let holds = |edits: &Edits| {
        let after = with(files, edits);
        state(&after, &compile(&after)) == before
    };
    if holds(&all) { all } else { kept(&all, &holds) }
}

/// The edits that change no code. They are tried by halves: few are ever to be left out, and each trial compiles everything.
fn kept(all: &Edits, holds: &dyn Fn(&Edits) -> bool) -> Edits {
    let of_file = |(file, edits): (&FileId, &Vec<Edit>)| -> Vec<(FileId, Edit)> {
        edits.iter().map(|edit| (*file, edit.clone())).collect()
    };
    let some: Vec<(FileId, Edit)> = all.iter().flat_map(of_file).collect();
    let mut kept = Edits::new();
    halves(&some, holds, &mut kept);
    kept
}

/// Puts to those that hold what holds with them, of some edits behind them that don't as a whole.
fn halves(some: &[(FileId, Edit)], holds: &dyn Fn(&Edits) -> bool, kept: &mut Edits) {
    if some.len() < 2 {
        return;
    }
    let (first, second) = some.split_at(some.len() / 2);
    let all_of_first = held(first, holds, kept);
    if all_of_first {
        // Both together are known not to hold.
        halves(second, holds, kept);
    } else {
        halves(first, holds, kept);
        if !held(second, holds, kept) {
            halves(second, holds, kept);
        }
    }
}

/// Puts some edits to those that hold, if they hold together.
fn held(some: &[(FileId, Edit)], holds: &dyn Fn(&Edits) -> bool, kept: &mut Edits) -> bool {
    let mut tried = kept.clone();
    for (file, edit) in some {
        tried.entry(*file).or_default().push(edit.clone());
    }
    let whole = holds(&tried);
    if whole {
        *kept = tried;
    }
    whole
}

/// What a set of files comes to: every code, and how often each rule complains.
fn state(files: &FileSet, compilation: &Compilation) -> (Vec<String>, BTreeMap<&'static str, usize>) {
    let sets = compilation.model.sets.iter().zip(&compilation.facts);
    let of_set = |(set, facts)| leaves::of_set(files, set, facts).into_iter();
    let codes = sets
        .flat_map(of_set)
        .map(|leaf| format!("{:?} {:?} {}", leaf.sort, leaf.choices, leaf.code));
    let mut found = BTreeMap::new();
    for finding in &compilation.findings {
        *found.entry(finding.rule.code).or_default() += 1;
    }
    (codes.collect(), found)
}

/// The files with edits made.
pub fn with(files: &FileSet, edits: &Edits) -> FileSet {
    let text = |file: FileId| match edits.get(&file) {
        Some(edits) => applied(&files.get(file).text, edits),
        None => files.get(file).text.clone(),
    };
    let texts = files
        .ids()
        .map(|file| (files.get(file).path.clone(), text(file).into_bytes()));
    let assets = files.assets().iter().map(|(path, bytes)| (path.clone(), bytes.clone()));
    FileSet::from_bytes(texts.chain(assets).collect())
}

/// A text with edits made.
pub fn applied(text: &str, edits: &[Edit]) -> String {
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    for edit in edits {
        let range = edit.span.range();
        // One that overlaps the one before it, or lies beyond the text, can't be made.
        let (Some(kept), Some(_)) = (text.get(at..range.start), text.get(range.end..)) else {
            continue;
        };
        out.push_str(kept);
        out.push_str(&edit.text);
        at = range.end;
    }
    out + text.get(at..).unwrap_or_default()
}

/// A price is a figure: 12.50 and 12.5 are the same to whoever reads it as one.
const PRICE: &str = "price";

/// The edits in a map of fields.
fn in_map(files: &FileSet, shape: &Shape, node: &Node, found: &mut Vec<Edit>) {
    let Value::Map(entries) = &node.value else { return };
    for (key, node) in entries {
        if let Some(field) = shape.field(&key.text).filter(|field| field.name != PRICE) {
            in_value(files, &field.takes, node, found);
        }
    }
}

/// The edits in what a field holds.
fn in_value(files: &FileSet, takes: &Takes, node: &Node, found: &mut Vec<Edit>) {
    match (takes, &node.value) {
        (Takes::Register(_, shape), Value::Map(entries)) => {
            for (_, entry) in entries {
                let bare = shape.bare.as_deref().and_then(|name| shape.field(name));
                match (&entry.value, bare) {
                    (Value::Scalar(_), Some(field)) => in_value(files, &field.takes, entry, found),
                    _ => in_map(files, shape, entry, found),
                }
            }
        }
        (Takes::Many(one), Value::List(items)) => items.iter().for_each(|item| in_value(files, one, item, found)),
        (Takes::Many(one), _) => in_value(files, one, node, found),
        (Takes::Forms(forms), value) => match (value, &forms.map, &forms.scalar) {
            (Value::Map(_), Some(Inside::Shape(shape)), _) => in_map(files, shape, node, found),
            (Value::Scalar(_), _, Some(scalar)) => in_value(files, scalar, node, found),
            _ => {}
        },
        // What is printed as written stays as written.
        (Takes::Value(reads), Value::Scalar(text)) if !reads.as_written && files.text(node.span) == text => {
            let word = reads
                .words
                .iter()
                .find(|word| word.eq_ignore_ascii_case(text) && *word != text);
            let spelt = word.cloned().or_else(|| canonical(text));
            found.extend(spelt.map(|text| Edit { span: node.span, text }));
        }
        (Takes::Map(one), Value::Map(entries)) => {
            for (_, value) in entries {
                in_value(files, one, value, found);
            }
        }
        (Takes::Either(ways), _) => ways.iter().for_each(|way| in_value(files, way, node, found)),
        (Takes::Entries(shape), Value::Map(entries)) => {
            entries.iter().for_each(|(_, entry)| in_map(files, shape, entry, found));
        }
        (Takes::Text | Takes::Tag(_) | Takes::OwnValue, Value::Scalar(text)) => found.extend(quoted(files, node, text)),
        _ => {}
    }
}

/// Quotes round a text that other readers of YAML take for a number, a truth value or a time, and then write otherwise.
fn quoted(files: &FileSet, node: &Node, text: &str) -> Option<Edit> {
    let source = &files.get(node.span.file).text;
    let range = node.span.range();
    let (before, after) = (
        source.get(..range.start).and_then(|text| text.chars().next_back()),
        source.get(range.end..).and_then(|text| text.chars().next()),
    );
    let is_quote = |c: Option<char>| matches!(c, Some('"' | '\''));
    // An alias stands for a text elsewhere; one that has quotes already needs none.
    if files.text(node.span) != text || is_quote(before) || is_quote(after) {
        return None;
    }
    misread(text).then(|| Edit {
        span: node.span,
        text: format!("\"{text}\""),
    })
}

/// True if a plain text is no text to YAML 1.1 or 1.2, and would come back otherwise: `1.50` as `1.5`, `010` as `8`, `on` as `true`,
/// `12:30` as `750` (YAML 1.1, tag repository; YAML 1.2.2, 10.3.2).
fn misread(text: &str) -> bool {
    let word = ["yes", "no", "on", "off", "true", "false", "y", "n"]
        .iter()
        .any(|w| text.eq_ignore_ascii_case(w));
    let digits = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let led = unsigned.len() > 1 && unsigned.starts_with('0') && digits(unsigned);
    let other_base = ["0x", "0o", "0b"].iter().any(|base| {
        unsigned
            .strip_prefix(base)
            .is_some_and(|rest| !rest.is_empty() && rest.bytes().all(|b| b.is_ascii_hexdigit()))
    });
    let sixty = unsigned.contains(':') && unsigned.split(':').all(digits);
    let grouped = unsigned.contains('_') && digits(&unsigned.replace('_', ""));
    let fraction = unsigned.split_once('.').is_some_and(|(whole, part)| {
        let number = (digits(whole) || whole.is_empty()) && digits(part);
        number && (part.ends_with('0') || whole.is_empty() || (whole.len() > 1 && whole.starts_with('0')))
    });
    let power = unsigned.split_once(['e', 'E']).is_some_and(|(figure, power)| {
        digits(&figure.replacen('.', "", 1)) && digits(power.strip_prefix(['-', '+']).unwrap_or(power))
    });
    let plus = text.starts_with('+') && digits(unsigned);
    word || led || other_base || sixty || grouped || fraction || power || plus
}

/// A mark with one space between its words, none inside its brackets and round its signs, and its unit by its symbol.
fn of_mark(files: &FileSet, mark: &Mark) -> Option<Edit> {
    let written = files.text(mark.span);
    let inner = written.strip_prefix('[')?.strip_suffix(']')?;
    // One that is wrapped over lines keeps them.
    if inner.contains(['\n', '\r']) {
        return None;
    }
    let words: Vec<&str> = inner.split_whitespace().collect();
    let mut text = words.join(" ");
    match &mark.kind {
        MarkKind::Need(..) | MarkKind::Set(..) | MarkKind::Only(_) => {
            for sign in ['=', '|'] {
                let pieces: Vec<&str> = text.split(sign).map(str::trim).collect();
                text = pieces.join(&sign.to_string());
            }
        }
        MarkKind::Use(_, Some(_), onto) => text = with_amount(&words, 2, if onto.is_some() { 2 } else { 0 }),
        MarkKind::Time(_) => text = with_amount(&words, 1, 0),
        _ => {}
    }
    let reads = mark::read(mark.span, &text).is_ok();
    (reads && text != inner).then(|| Edit {
        span: mark.span,
        text: format!("[{text}]"),
    })
}

/// Words of which some before and some behind stay as they are, and those between are an amount.
fn with_amount(words: &[&str], before: usize, behind: usize) -> String {
    let (names, rest) = words.split_at(before.min(words.len()));
    let (amount, rest) = rest.split_at(rest.len().saturating_sub(behind));
    let amount = amount.join(" ");
    let amount = canonical(&amount).unwrap_or(amount);
    let all: Vec<&str> = names
        .iter()
        .copied()
        .chain([amount.as_str()])
        .chain(rest.iter().copied())
        .collect();
    all.join(" ")
}

/// Every mark of a body, in no order.
pub(super) fn every_mark(body: &Body) -> Vec<&Mark> {
    let mut found = marks(&body.intro);
    let messages = body.messages.iter().chain(body.phases.iter().flat_map(|phase| {
        let of_steps = phase.steps().flat_map(|step| &step.messages);
        phase.messages.iter().chain(of_steps)
    }));
    for message in messages {
        inline_marks(&message.hazard, &mut found);
        for blocks in [&message.consequence, &message.avoid] {
            found.extend(marks(blocks));
        }
    }
    for phase in &body.phases {
        inline_marks(&phase.title, &mut found);
        found.extend(marks(&phase.intro));
        found.extend(phase.steps().flat_map(|step| step.marks()));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    /// Edits of two files, by number.
    fn numbered(count: u32) -> Edits {
        let files = FileSet::from_bytes(["a.md", "b.md"].map(|path| (path.to_string(), Vec::new())).into());
        let mut all = Edits::new();
        for (file, half) in files.ids().zip([0..count / 2, count / 2..count]) {
            let edit = |n: u32| Edit {
                span: Span::new(file, n as usize, n as usize),
                text: n.to_string(),
            };
            all.insert(file, half.map(edit).collect());
        }
        all
    }

    fn numbers(edits: &Edits) -> Vec<u32> {
        edits.values().flatten().map(|edit| edit.span.start).collect()
    }

    #[test]
    fn what_changes_a_code_is_left_out_by_few_trials() {
        for bad in [vec![], vec![0], vec![99], vec![49, 50], vec![3, 40, 41, 97]] {
            let trials = Cell::new(0);
            let holds = |edits: &Edits| {
                trials.set(trials.get() + 1);
                numbers(edits).iter().all(|n| !bad.contains(n))
            };
            let all = numbered(100);
            let kept = if holds(&all) { all } else { kept(&all, &holds) };
            let wanted: Vec<u32> = (0..100).filter(|n| !bad.contains(n)).collect();
            assert_eq!(numbers(&kept), wanted);
            assert!(
                trials.get() <= 1 + 14 * bad.len(),
                "{} trials for {bad:?}",
                trials.get()
            );
        }
        // None may be made.
        assert!(kept(&numbered(7), &|edits| edits.is_empty()).is_empty());
    }
}
