//! The tables of `templates/words/`, one a language: `key = text with {name} and {count|one|other}`, below the heading that says whose words
//! they are. Those under `[leaf]` are said by the data of leaves, those under `[template]` by the templates themselves, which call them with
//! the values in brackets behind the key, in that order. Quotes round a text keep the spaces at its ends.

use super::Key;
use super::say::ALL;
use crate::domain::table::broken;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// A language that leaves are printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Language {
    English,
    German,
}

/// The words of a key: a text with places for values.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Text(Vec<Part>);

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Part {
    Words(String),
    /// A value by its name.
    Value(String),
    /// The number that words agree with, and these for one and for any other.
    Plural(String, String, String),
}

/// Words that a template calls with values, in their order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Called {
    pub args: Vec<String>,
    pub text: Text,
}

/// A table as read.
#[derive(Debug, Default)]
struct Table {
    leaf: BTreeMap<String, Text>,
    template: BTreeMap<String, Called>,
}

static ENGLISH: LazyLock<Table> = LazyLock::new(|| embedded("en.txt", include_str!("../../../templates/words/en.txt")));
static GERMAN: LazyLock<Table> = LazyLock::new(|| embedded("de.txt", include_str!("../../../templates/words/de.txt")));

/// What a key that no table has says. Tables are read whole and held against the keys before anything is said.
static NOTHING: Text = Text(Vec::new());

impl Language {
    pub const ALL: [Language; 2] = [Language::English, Language::German];

    /// By the first part of a BCP 47 tag: `de`, `de-AT`. `None` for a language without a table.
    pub fn find(tag: &str) -> Option<Language> {
        let first = tag.split(['-', '_']).next().unwrap_or("");
        Language::ALL.into_iter().find(|l| l.code().eq_ignore_ascii_case(first))
    }

    /// As tags begin (ISO 639-1).
    pub fn code(self) -> &'static str {
        match self {
            Language::English => "en",
            Language::German => "de",
        }
    }

    /// What stands before the decimals of a figure (ISO 80000-1, 7.3.2: a comma or a point on the line).
    pub fn decimal_mark(self) -> char {
        match self {
            Language::English => '.',
            Language::German => ',',
        }
    }

    /// True for the number that takes the first form (Unicode CLDR, plural rules: English and German have "one" for 1 alone).
    pub fn is_one(self, count: usize) -> bool {
        match self {
            Language::English | Language::German => count == 1,
        }
    }

    /// A figure with the mark of the language: the point between two digits.
    pub fn figure(self, text: &str) -> String {
        let mark = self.decimal_mark();
        let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        let mut out = String::with_capacity(text.len());
        let mut rest = text.chars().peekable();
        while let Some(c) = rest.next() {
            let decimal = c == '.' && digit(out.chars().next_back()) && digit(rest.peek().copied());
            out.push(if decimal { mark } else { c });
        }
        out
    }

    /// The words of the templates by their keys, in the order of the keys.
    pub fn template_words(self) -> impl Iterator<Item = (&'static str, &'static Called)> {
        self.table().template.iter().map(|(key, words)| (key.as_str(), words))
    }

    pub(super) fn text(self, key: Key) -> &'static Text {
        self.table().leaf.get(key.name).unwrap_or(&NOTHING)
    }

    fn table(self) -> &'static Table {
        match self {
            Language::English => &ENGLISH,
            Language::German => &GERMAN,
        }
    }
}

impl Text {
    pub fn parts(&self) -> &[Part] {
        &self.0
    }

    /// Names of the values that it has places for.
    #[cfg(test)]
    fn names(&self) -> std::collections::BTreeSet<&str> {
        let named = self.0.iter().filter_map(|part| match part {
            Part::Words(_) => None,
            Part::Value(name) | Part::Plural(name, ..) => Some(name.as_str()),
        });
        named.collect()
    }
}

/// A table of ours, whole: every key that a leaf can say is in it, with a place for each of its values.
fn embedded(name: &str, text: &str) -> Table {
    let table = read(text).unwrap_or_else(|fault| broken(format_args!("{name}: {fault}")));
    if let Some(fault) = lacking(&table) {
        broken(format_args!("{name}: {fault}"));
    }
    table
}

/// The first fault of a table held against the keys.
fn lacking(table: &Table) -> Option<String> {
    for key in ALL {
        let Some(text) = table.leaf.get(key.name) else {
            return Some(format!("no words for `{}`", key.name));
        };
        let has = |arg: &&&str| {
            let named = |part: &Part| matches!(part, Part::Value(n) | Part::Plural(n, ..) if n == **arg);
            !text.0.iter().any(named)
        };
        if let Some(arg) = key.args.iter().find(has) {
            return Some(format!("`{}` has no place for `{arg}`", key.name));
        }
        for part in text.parts() {
            let (name, counted) = match part {
                Part::Words(_) => continue,
                Part::Value(name) => (name, false),
                Part::Plural(name, ..) => (name, true),
            };
            match key.args.iter().zip(key.counts).find(|(arg, _)| **arg == name.as_str()) {
                None => {
                    return Some(format!(
                        "`{}` has a place for `{name}`, which nothing gives it",
                        key.name
                    ));
                }
                Some((_, false)) if counted => {
                    return Some(format!("`{}` chooses a form by `{name}`, which is no number", key.name));
                }
                Some(_) => {}
            }
        }
    }
    let stray = table.leaf.keys().find(|name| !ALL.iter().any(|key| key.name == **name));
    stray.map(|name| format!("nothing says `{name}`"))
}

fn read(text: &str) -> Result<Table, String> {
    let mut table = Table::default();
    let mut heading = "";
    for (n, line) in text.lines().enumerate() {
        let fault = |what: &str| format!("line {}: {what}", n + 1);
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        if let Some(name) = line.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
            heading = name;
            continue;
        }
        let (key, words) = line.split_once(" = ").ok_or_else(|| fault("no ` = ` after a key"))?;
        let words = words.trim();
        let words = words
            .strip_prefix('"')
            .and_then(|w| w.strip_suffix('"'))
            .unwrap_or(words);
        let text =
            parse(words).ok_or_else(|| fault("a brace that isn't closed, or a choice of forms that aren't two"))?;
        let before = match heading {
            "leaf" => table.leaf.insert(key.trim().to_string(), text).is_some(),
            "template" => {
                let (key, args) = called(key.trim()).ok_or_else(|| fault("a bracket that isn't closed"))?;
                table.template.insert(key, Called { args, text }).is_some()
            }
            _ => return Err(fault("stands under no heading that is known")),
        };
        if before {
            return Err(fault("a key that stands there twice"));
        }
    }
    Ok(table)
}

/// A key and the values that its words are called with: `card(n, of)`.
fn called(key: &str) -> Option<(String, Vec<String>)> {
    let Some((name, rest)) = key.split_once('(') else {
        return Some((key.to_string(), Vec::new()));
    };
    let args = rest.strip_suffix(')')?.split(',');
    Some((name.to_string(), args.map(|arg| arg.trim().to_string()).collect()))
}

/// A text with its places.
fn parse(words: &str) -> Option<Text> {
    let mut parts = Vec::new();
    let mut rest = words;
    while let Some((before, after)) = rest.split_once('{') {
        let (place, next) = after.split_once('}')?;
        if !before.is_empty() {
            parts.push(Part::Words(before.to_string()));
        }
        let forms: Vec<&str> = place.split('|').collect();
        parts.push(match forms.as_slice() {
            [name] => Part::Value((*name).to_string()),
            [name, one, other] => Part::Plural((*name).to_string(), (*one).to_string(), (*other).to_string()),
            _ => return None,
        });
        rest = next;
    }
    if rest.contains('}') {
        return None;
    }
    if !rest.is_empty() {
        parts.push(Part::Words(rest.to_string()));
    }
    Some(Text(parts))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    const TABLES: [(&str, &str); 2] = [
        ("en.txt", include_str!("../../../templates/words/en.txt")),
        ("de.txt", include_str!("../../../templates/words/de.txt")),
    ];

    #[test]
    fn every_table_has_every_word_of_a_leaf() {
        for (name, text) in TABLES {
            let table = read(text).unwrap_or_else(|fault| panic!("{name}: {fault}"));
            assert_eq!(lacking(&table), None, "{name}");
            for key in ALL {
                let names = table.leaf[key.name].names();
                assert_eq!(names, key.args.iter().copied().collect(), "{name}: {}", key.name);
            }
        }
    }

    #[test]
    fn every_table_has_the_same_words_of_templates() {
        let [english, others @ ..] = TABLES.map(|(name, text)| (name, read(text).unwrap()));
        for (name, table) in others {
            let keys = |table: &Table| table.template.keys().cloned().collect::<BTreeSet<String>>();
            assert_eq!(keys(&table), keys(&english.1), "{name}");
            for (key, words) in &table.template {
                assert_eq!(words.args, english.1.template[key].args, "{name}: {key}");
            }
        }
        for (name, table) in TABLES.map(|(name, text)| (name, read(text).unwrap())) {
            for (key, Called { args, text }) in &table.template {
                assert_eq!(text.names(), args.iter().map(String::as_str).collect(), "{name}: {key}");
            }
        }
    }

    /// What a missing word comes to: the table is refused, whatever else it has.
    #[test]
    fn a_word_that_is_missing_is_told() {
        for (name, text) in TABLES {
            for key in ALL {
                let start = format!("{} = ", key.name);
                let line = text.lines().find(|line| line.starts_with(&start)).unwrap();
                let with = |other: &str| lacking(&read(&text.replacen(&format!("\n{line}\n"), other, 1)).unwrap());
                let told = with("\n");
                assert_eq!(told, Some(format!("no words for `{}`", key.name)), "{name}");
                for arg in key.args {
                    let told = with(&format!(
                        "\n{}\n",
                        line.replace(&format!("{{{arg}}}"), "")
                            .replace(&format!("{{{arg}|"), "{count2|")
                    ));
                    assert!(told.is_some(), "{name}: {line} without {arg}");
                }
                let told = with(&format!("\n{line} {{nothing}}\n"));
                let wanted = format!("`{}` has a place for `nothing`, which nothing gives it", key.name);
                assert_eq!(told, Some(wanted), "{name}");
                for (arg, is_count) in key.args.iter().zip(key.counts) {
                    let told = with(&format!("\n{line} {{{arg}|one|more}}\n"));
                    let wanted = format!("`{}` chooses a form by `{arg}`, which is no number", key.name);
                    assert_eq!(told, (!is_count).then_some(wanted), "{name}");
                }
            }
        }
        let (_, english) = TABLES[0];
        let without: String = english
            .lines()
            .filter(|line| !line.starts_with("step_on_card = "))
            .map(|line| format!("{line}\n"))
            .collect();
        let told = lacking(&read(&without).unwrap());
        assert_eq!(told.as_deref(), Some("no words for `step_on_card`"));
        let bare = english.replace("step_on_card = card {card}, {step}", "step_on_card = card {card}");
        let told = lacking(&read(&bare).unwrap());
        assert_eq!(told.as_deref(), Some("`step_on_card` has no place for `step`"));
        let more = english.replace("[leaf]\n", "[leaf]\nnobody_says_this = so\n");
        assert_eq!(
            lacking(&read(&more).unwrap()).as_deref(),
            Some("nothing says `nobody_says_this`")
        );
    }

    /// Words behind a number that are none of its: `1 of 6`, `2 new`.
    const STANDS_ALONE: [&str; 7] = ["of", "von", "new", "neu", "gone", "entfallen", "ein"];

    /// Values of templates that stand before a word and count nothing: names, times and figures.
    const COUNTS_NOTHING: [&str; 8] = ["name", "since", "unit", "step", "rev", "each", "length", "every"];

    /// Every noun or verb that stands behind a number agrees with it: one of them is not "1 steps".
    #[test]
    fn what_is_counted_agrees_with_one() {
        let mut tried = 0;
        for (name, table) in TABLES.map(|(name, text)| (name, read(text).unwrap())) {
            let of_leaves = ALL.iter().map(|key| {
                let counts: Vec<&str> = key
                    .args
                    .iter()
                    .zip(key.counts)
                    .filter(|(_, is)| **is)
                    .map(|(arg, _)| *arg)
                    .collect();
                (key.name, counts, &table.leaf[key.name])
            });
            let of_templates = table.template.iter().map(|(key, called)| {
                let counts = called
                    .args
                    .iter()
                    .map(String::as_str)
                    .filter(|arg| !COUNTS_NOTHING.contains(arg));
                (key.as_str(), counts.collect(), &called.text)
            });
            for (key, counts, text) in of_leaves.chain(of_templates) {
                for (at, part) in text.parts().iter().enumerate() {
                    let Part::Value(arg) = part else { continue };
                    let Some(Part::Words(behind)) = text.parts().get(at + 1) else {
                        continue;
                    };
                    let Some(rest) = behind.strip_prefix(' ') else { continue };
                    let word: String = rest.chars().take_while(|c| c.is_alphabetic() || *c == '-').collect();
                    if !counts.contains(&arg.as_str()) || word.is_empty() || STANDS_ALONE.contains(&word.as_str()) {
                        continue;
                    }
                    tried += 1;
                    let agrees = text
                        .parts()
                        .iter()
                        .any(|part| matches!(part, Part::Plural(by, ..) if by == arg));
                    assert!(agrees, "{name}: {key}: 1{behind}");
                }
            }
        }
        assert!(tried > 4, "only {tried} words stand behind a number");
    }

    #[test]
    fn slips_of_a_table_are_told_with_their_line() {
        for (slip, told) in [
            ("a = b", "line 1: stands under no heading that is known"),
            ("[leaf]\na: b", "line 2: no ` = ` after a key"),
            (
                "[leaf]\na = {b",
                "line 2: a brace that isn't closed, or a choice of forms that aren't two",
            ),
            (
                "[leaf]\na = {b|c|d|e}",
                "line 2: a brace that isn't closed, or a choice of forms that aren't two",
            ),
            (
                "[leaf]\na = {b|c}",
                "line 2: a brace that isn't closed, or a choice of forms that aren't two",
            ),
            ("[leaf]\na = b\na = c", "line 3: a key that stands there twice"),
        ] {
            assert_eq!(read(slip).err().as_deref(), Some(told), "{slip}");
        }
    }

    #[test]
    fn languages_are_found_by_their_tags() {
        assert_eq!(Language::find("de-AT"), Some(Language::German));
        assert_eq!(Language::find("EN"), Some(Language::English));
        for tag in ["fr", "", "english", "d"] {
            assert_eq!(Language::find(tag), None, "{tag}");
        }
    }
}
