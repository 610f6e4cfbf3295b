//! Takes a map apart field by field. What is missing, repeated, of the wrong kind or left over becomes a finding; reading goes on.

use super::cut::{cut_value, is_piece};
use super::shape::{Asked, Takes};
use crate::domain::quantity::ValueError;
use crate::finding::{Finding, did_you_mean};
use crate::parse::rules::{bad_date, bad_word, missing_field, repeated_field, unknown_field, wrong_kind};
use crate::parse::value as value_fault;
use crate::parse::yaml::{Key, Node, Value};
use crate::source::Span;
use crate::syntax::{At, Name, Worded};
use jiff::civil::Date;

/// The fields of one map.
pub struct Fields<'a> {
    /// What the map describes, with its article, for messages: `a torque`.
    what: &'static str,
    span: Span,
    entries: Vec<(&'a Key, &'a Node)>,
    /// Fields asked for so far: what the map may hold.
    known: Vec<&'static str>,
    /// False if what stands here is no map: it has had its finding, and lacks every field for that reason alone.
    readable: bool,
    /// Fields that are missing, unless they are there under another name, which `finish` sees.
    missing: Vec<(Vec<String>, Finding)>,
    findings: &'a mut Vec<Finding>,
    /// What the reader asks for, where somebody wants to know what the map may hold.
    asked: Option<Asked<'a>>,
}

impl<'a> Fields<'a> {
    /// The fields of a map. An empty node has none; any other kind of node is a finding.
    pub fn new(node: &'a Node, what: &'static str, span: Span, findings: &'a mut Vec<Finding>) -> Fields<'a> {
        let mut entries = Vec::new();
        let mut readable = true;
        match &node.value {
            Value::Map(map) => {
                // A field whose name nobody could read may be any of those that are missing.
                readable = !map
                    .iter()
                    .any(|(key, node)| key.text.is_empty() && node.value == Value::Lost);
                entries = once_each(map, findings);
            }
            Value::Null => {}
            Value::Lost => readable = false,
            _ => {
                findings.push(wrong_kind::finding(node.span, what, "a map of fields"));
                readable = false;
            }
        }
        Fields {
            what,
            span,
            entries,
            known: Vec::new(),
            missing: Vec::new(),
            readable,
            findings,
            asked: None,
        }
    }

    /// The same, and what the reader asks for is written down.
    pub fn described(
        node: &'a Node,
        what: &'static str,
        span: Span,
        findings: &'a mut Vec<Finding>,
        asked: Asked<'a>,
    ) -> Fields<'a> {
        Fields {
            asked: Some(asked),
            ..Fields::new(node, what, span, findings)
        }
    }

    /// The fields of a map inside this one.
    pub fn inner<'b>(&'b mut self, node: &'b Node, what: &'static str, span: Span) -> Fields<'b> {
        let asked = self.asked.as_mut().map(Asked::inner);
        Fields {
            asked,
            ..Fields::new(node, what, span, self.findings)
        }
    }

    /// Writes down what a field takes, if somebody wants to know.
    pub fn ask(&mut self, name: &'static str, takes: impl FnOnce() -> Takes) {
        if let Some(asked) = &mut self.asked {
            asked.field(name, takes);
        }
    }

    /// The node of a field; an empty one counts as absent.
    pub fn take(&mut self, name: &'static str) -> Option<&'a Node> {
        if !self.known.contains(&name) {
            self.known.push(name);
        }
        self.ask(name, || Takes::Node);
        let (_, node) = self.entries.iter().find(|(key, _)| key.text == name)?;
        (!matches!(node.value, Value::Null | Value::Lost)).then_some(*node)
    }

    /// Where the map, or the id it belongs to, stands.
    pub fn span(&self) -> Span {
        self.span
    }

    /// True if one of these fields is there, good or bad.
    pub fn has(&self, names: &[&str]) -> bool {
        names.iter().any(|name| self.present(name))
    }

    pub fn findings(&mut self) -> &mut Vec<Finding> {
        self.findings
    }

    /// A field that must be there.
    pub fn require<T>(&mut self, name: &'static str, value: Option<T>) -> Option<T> {
        self.require_one(&[name], value)
    }

    /// Fields of which one must be there.
    pub fn require_one<T>(&mut self, names: &[&str], value: Option<T>) -> Option<T> {
        if value.is_none() && self.readable && !self.has(names) {
            let names_owned = names.iter().map(ToString::to_string).collect();
            self.missing
                .push((names_owned, missing_field::finding(self.span, self.what, names)));
        }
        value
    }

    /// True if the field is there; if its value is missing all the same, it has had its finding.
    fn present(&self, name: &str) -> bool {
        self.entries
            .iter()
            .any(|(key, node)| key.text == name && node.value != Value::Null)
    }

    pub fn text(&mut self, name: &'static str) -> Option<Name> {
        let node = self.take(name);
        self.ask(name, || Takes::Text);
        scalar(node?, name, self.findings)
    }

    /// A date in its one form, `2026-04-03`.
    pub fn date(&mut self, name: &'static str) -> Option<At<Date>> {
        let text = self.text(name);
        self.ask(name, || Takes::Date);
        let text = text?;
        // The calendar's parser also takes a time of day and the form without hyphens; a card has one form.
        let value = text.text.parse().ok().filter(|_| text.text.len() == "2026-04-03".len());
        if value.is_none() {
            self.findings.push(bad_date::finding(text.span, &text.text));
        }
        value.map(|value| At { value, span: text.span })
    }

    /// The same as written, good or bad.
    pub fn day(&mut self, name: &'static str) -> Option<Name> {
        let text = self.text(name);
        self.ask(name, || Takes::Date);
        let text = text?;
        if text.text.len() != "2026-04-03".len() || text.text.parse::<Date>().is_err() {
            self.findings.push(bad_date::finding(text.span, &text.text));
        }
        Some(text)
    }

    /// One word of a short list, as written, good or bad.
    pub fn listed(&mut self, name: &'static str, words: &[&str]) -> Option<Name> {
        let text = self.text(name);
        self.ask(name, || Takes::Word(words.iter().map(ToString::to_string).collect()));
        let text = text?;
        if !words.contains(&text.text.as_str()) {
            self.findings.push(bad_word::finding(&text, name, words));
        }
        Some(text)
    }

    /// A tag of a language that begins with one of these, as written, good or bad.
    pub fn tag(&mut self, name: &'static str, languages: &[&str], is_known: impl Fn(&str) -> bool) -> Option<Name> {
        let text = self.text(name);
        self.ask(name, || Takes::Tag(languages.iter().map(ToString::to_string).collect()));
        let text = text?;
        if !is_known(&text.text) {
            self.findings.push(bad_word::finding(&text, name, languages));
        }
        Some(text)
    }

    /// One word of a short list.
    pub fn word<T: Copy>(&mut self, name: &'static str, words: &[(&str, T)]) -> Option<T> {
        let text = self.text(name);
        self.ask(name, || Takes::word(words));
        let text = text?;
        let found = words.iter().find(|(word, _)| *word == text.text);
        if found.is_none() {
            let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            self.findings.push(bad_word::finding(&text, name, &words));
        }
        found.map(|(_, value)| *value)
    }

    /// Words of a short list, or a single one in place of a list.
    pub fn words<T: Copy>(&mut self, name: &'static str, words: &[(&str, T)]) -> Vec<T> {
        let mut found = Vec::new();
        let names = self.names(name);
        self.ask(name, || Takes::many(Takes::word(words)));
        for text in names {
            match words.iter().find(|(word, _)| *word == text.text) {
                Some((_, value)) => found.push(*value),
                None => {
                    let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
                    self.findings.push(bad_word::finding(&text, name, &words));
                }
            }
        }
        found
    }

    pub fn flag(&mut self, name: &'static str) -> Option<bool> {
        self.word(name, &[("yes", true), ("no", false), ("true", true), ("false", false)])
    }

    /// A whole number from 1.
    pub fn count(&mut self, name: &'static str) -> Option<At<u32>> {
        let text = self.text(name);
        self.ask(name, || Takes::Count);
        let text = text?;
        match text.text.parse() {
            Ok(value) if value > 0 => Some(At { value, span: text.span }),
            _ => {
                self.findings
                    .push(wrong_kind::finding(text.span, name, "a whole number from 1"));
                None
            }
        }
    }

    /// A value that the domain reads.
    pub fn value<T>(&mut self, name: &'static str, read: impl Fn(&str) -> Result<T, ValueError>) -> Option<At<T>> {
        let text = self.text(name);
        self.ask(name, || Takes::value(&read, false));
        value(&text?, read, self.findings)
    }

    /// A value that the domain reads, with its words.
    pub fn worded<T>(&mut self, name: &'static str, read: impl Fn(&str) -> Result<T, ValueError>) -> Option<Worded<T>> {
        let word = self.text(name);
        self.ask(name, || Takes::value(&read, true));
        let word = word?;
        let value = value(&word, read, self.findings)?.value;
        Some(Worded { value, word })
    }

    /// A list of values with their words, or a single one in place of a list.
    pub fn all_worded<T>(
        &mut self,
        name: &'static str,
        read: impl Fn(&str) -> Result<T, ValueError>,
    ) -> Vec<Worded<T>> {
        let mut found = Vec::new();
        let names = self.names(name);
        self.ask(name, || Takes::many(Takes::value(&read, true)));
        for word in names {
            found.extend(value(&word, &read, self.findings).map(|v| Worded { value: v.value, word }));
        }
        found
    }

    /// A list of values, or a single one in place of a list.
    pub fn values<T>(&mut self, name: &'static str, read: impl Fn(&str) -> Result<T, ValueError>) -> Vec<At<T>> {
        let names = self.names(name);
        self.ask(name, || Takes::many(Takes::value(&read, false)));
        names
            .iter()
            .filter_map(|text| value(text, &read, self.findings))
            .collect()
    }

    /// A list of words, or a single one in place of a list.
    pub fn names(&mut self, name: &'static str) -> Vec<Name> {
        let node = self.take(name);
        self.ask(name, || Takes::many(Takes::Text));
        let Some(node) = node else { return Vec::new() };
        match &node.value {
            Value::List(items) => items
                .iter()
                .filter_map(|item| scalar(item, name, self.findings))
                .collect(),
            Value::Map(_) => {
                self.findings.push(wrong_kind::finding(
                    node.span,
                    name,
                    "one value or a list of them, not a map",
                ));
                Vec::new()
            }
            _ => scalar(node, name, self.findings).into_iter().collect(),
        }
    }

    /// A map of words to words.
    pub fn pairs(&mut self, name: &'static str) -> Vec<(Name, Name)> {
        let node = self.take(name);
        self.ask(name, || Takes::map(Takes::Text));
        let Some(node) = node else { return Vec::new() };
        let Value::Map(map) = &node.value else {
            self.findings
                .push(wrong_kind::finding(node.span, name, "a map, such as `state: value`"));
            return Vec::new();
        };
        let entries = once_each(map, self.findings);
        entries
            .into_iter()
            .filter_map(|(key, node)| Some((key_name(key), scalar(node, name, self.findings)?)))
            .collect()
    }

    /// Reports the fields nobody asked for, and those that are missing. Of a map in which nothing is known the first field speaks for all.
    pub fn finish(mut self) {
        if let Some(asked) = self.asked.take() {
            asked.finish(self.what, self.missing.iter().map(|(names, _)| names.clone()).collect());
        }
        let is_known = |key: &Key| self.known.contains(&key.text.as_str());
        let strange: Vec<&str> = self
            .entries
            .iter()
            .filter(|(key, node)| node.value != Value::Lost && !is_known(key))
            .map(|(key, _)| key.text.as_str())
            .collect();
        // A name that is there already is not what a strange one was meant for.
        let free: Vec<&str> = self.known.iter().copied().filter(|name| !self.present(name)).collect();
        let all_strange = !strange.is_empty()
            && !self.entries.iter().any(|(key, _)| is_known(key))
            && !strange
                .iter()
                .any(|word| did_you_mean(word, free.iter().copied()).is_some());
        let misspelt = |names: &[String]| {
            let near = |word: &&str| did_you_mean(word, names.iter().map(String::as_str)).is_some();
            let without_colon = |word: &&str| names.iter().any(|name| word.starts_with(name.as_str()));
            strange.iter().any(|word| near(word) || without_colon(word))
        };
        self.missing.retain(|(names, _)| !all_strange && !misspelt(names));
        let mut at = 0;
        let mut outdented = false;
        while let Some((key, node)) = self.entries.get(at) {
            if is_known(key) {
                outdented = false;
            } else if node.value != Value::Lost && !outdented {
                let before = at.checked_sub(1).and_then(|before| self.entries.get(before));
                let empty = before.filter(|(key, node)| node.value == Value::Null && is_known(key));
                outdented = empty.is_some() && node.value != Value::Null;
                self.findings.push(match empty {
                    Some((register, _)) if outdented => unknown_field::outdented(&key_name(key), &register.text),
                    _ => unknown_field::finding(&key_name(key), self.what, &self.known, &free),
                });
                if all_strange {
                    return;
                }
            }
            let cut = cut_value(self.entries.get(at..).unwrap_or_default(), &self.known);
            at += 1;
            if let Some(cut) = cut {
                // What was said of the first piece alone follows from that.
                self.findings.retain(|finding| !cut.covers(finding));
                self.findings.push(cut.finding);
                at += cut.pieces;
            }
        }
        self.findings
            .extend(self.missing.into_iter().map(|(_, finding)| finding));
    }
}

/// The entries of a map without repeated keys, which are reported.
pub fn once_each<'a>(map: &'a [(Key, Node)], findings: &mut Vec<Finding>) -> Vec<(&'a Key, &'a Node)> {
    let mut entries: Vec<(&Key, &Node)> = Vec::new();
    for (key, value) in map {
        match entries.iter().find(|(k, _)| k.text == key.text) {
            // The rests of two cut figures may be alike, and no field has a space in its name.
            Some((first, _)) if !is_piece(key, value) || !key.text.contains(' ') => {
                findings.push(repeated_field::finding(key.span, &key.text, first.span));
            }
            Some(_) | None => entries.push((key, value)),
        }
    }
    entries
}

/// The key as a word with its place.
pub fn key_name(key: &Key) -> Name {
    Name {
        text: key.text.clone(),
        span: key.span,
    }
}

/// Fields that may have several lines.
const PROSE: [&str; 2] = ["about", "notice"];

/// The text of a scalar; `field` is for the message if it is none.
pub fn scalar(node: &Node, field: &str, findings: &mut Vec<Finding>) -> Option<Name> {
    match &node.value {
        Value::Scalar(text) => {
            let text = text.trim();
            let text = match PROSE.contains(&field) {
                true => text.to_string(),
                // A title or a name with a line end in it would begin a line of its own in every list. As long as it was, for faults
                // inside it.
                false => text.replace(['\n', '\r'], " "),
            };
            let span = node.span;
            Some(Name { text, span })
        }
        other => {
            let wanted = match other {
                Value::List(_) => "one value, not a list",
                Value::Map(_) => "one value, not a map",
                _ => "one value",
            };
            findings.push(wrong_kind::finding(node.span, field, wanted));
            None
        }
    }
}

/// Reads a value from a text; its fault is pointed at inside the text.
pub fn value<T>(
    text: &Name,
    read: impl Fn(&str) -> Result<T, ValueError>,
    findings: &mut Vec<Finding>,
) -> Option<At<T>> {
    match read(&text.text) {
        Ok(value) => Some(At { value, span: text.span }),
        Err(error) => {
            findings.push(value_fault::finding(text.span, &error));
            None
        }
    }
}
