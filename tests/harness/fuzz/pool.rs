//! What changes draw from: the marks, lines, blocks and values of every fixture, and pieces that one of the readers knows or trips over.

use super::{Chance, seeds};
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Pieces of all fixtures by sort.
pub struct Pool {
    pub marks: Vec<String>,
    pub lines: Vec<String>,
    /// A line with all that stands further in below it.
    pub blocks: Vec<String>,
    /// What stands behind a key, by the key.
    values: BTreeMap<String, Vec<String>>,
    keys: Vec<String>,
}

/// The pool, made once.
pub static POOL: LazyLock<Pool> = LazyLock::new(|| {
    let sets = seeds::sets();
    let mut values: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (key, value) in sets.iter().flat_map(|set| pairs(set)) {
        values.entry(key).or_default().push(value);
    }
    values.values_mut().for_each(once);
    let mut pool = Pool {
        marks: sets.iter().flat_map(|set| seeds::marks(set)).collect(),
        lines: sets.iter().flat_map(|set| set.lines()).map(String::from).collect(),
        blocks: sets.iter().flat_map(|set| blocks(set)).collect(),
        keys: values.keys().cloned().collect(),
        values,
    };
    [&mut pool.marks, &mut pool.lines, &mut pool.blocks]
        .into_iter()
        .for_each(once);
    pool
});

impl Pool {
    /// Something that stands behind this key somewhere, or behind any if the key is nobody's.
    pub fn value(&self, key: &str, chance: &mut Chance) -> &str {
        let any = || self.keys.first().and_then(|key| self.values.get(key));
        let other = chance.one(&self.keys).and_then(|key| self.values.get(key));
        let all = self.values.get(key).or(other).or_else(any);
        all.and_then(|all| chance.one(all)).map_or("", String::as_str)
    }

    pub fn key(&self, chance: &mut Chance) -> &str {
        chance.one(&self.keys).map_or("", String::as_str)
    }
}

fn once(all: &mut Vec<String>) {
    all.sort();
    all.dedup();
}

/// Keys with their values, those within `{…}` as well.
fn pairs(set: &str) -> Vec<(String, String)> {
    let is_key = |key: &str| !key.is_empty() && key.bytes().all(|b| b.is_ascii_lowercase() || b == b'-');
    let of_line = |line: &str| -> Vec<(String, String)> {
        let (outer, inner) = match line.split_once('{') {
            Some((_, rest)) => (line.split_once(": "), rest.trim_end_matches('}')),
            None => (line.split_once(": "), ""),
        };
        let inner = inner.split(", ").filter_map(|pair| pair.split_once(": "));
        let all = outer.into_iter().chain(inner);
        let trimmed = all.map(|(key, value)| (key.trim().trim_start_matches("- "), value.trim()));
        let known = trimmed.filter(|(key, value)| is_key(key) && !value.is_empty());
        known.map(|(key, value)| (key.to_string(), value.to_string())).collect()
    };
    set.lines().flat_map(of_line).collect()
}

/// How far in a line stands.
pub fn indent(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

/// Lines that end with a colon, each with what stands further in below.
fn blocks(set: &str) -> Vec<String> {
    let lines: Vec<&str> = set.lines().collect();
    let heads = lines.iter().enumerate().filter(|(_, line)| line.ends_with(':'));
    let block = |(n, line): (usize, &&str)| {
        let inside = lines[n + 1..].iter().take_while(|below| indent(below) > indent(line));
        let all: Vec<&str> = std::iter::once(*line).chain(inside.copied()).collect();
        all.join("\n")
    };
    heads.map(block).filter(|block| block.len() < 1500).collect()
}

/// Pieces that mean something to one of the readers, or break it.
pub const PIECES: &[&str] = &[
    "---\n",
    "...\n",
    "\n",
    "\r\n",
    "\r",
    "\t",
    " ",
    "    ",
    "\u{feff}",
    "\u{a0}",
    "\u{301}",
    "\u{202e}",
    "\u{2028}",
    "\u{85}",
    "é",
    "日",
    "🔧",
    "ß",
    "İ",
    "\0",
    "\u{7f}",
    "[",
    "]",
    "[]",
    "](",
    ")",
    "\\",
    "\\[",
    "`",
    "```\n",
    "*",
    "**",
    "_",
    "<",
    "<!--",
    "-->",
    "<b>",
    "&amp;",
    "&#0;",
    "!",
    "![a](b.svg)",
    "[a]: b\n",
    "[torque a]",
    "[use a 50 mL]",
    "[fit ",
    "a: &x b\n",
    "[stop]",
    "[each a in turn]",
    "[if a out]",
    "[repeat a]",
    "[wait a]",
    "[mark a]",
    "[measure a as-found]",
    "[only a=b|c]",
    "[use a 50 mL on b]",
    "[time 1 h 30 min]",
    "[step a/b]",
    "[fit a 2]",
    "[set a=b]",
    "[set =",
    "|",
    "=",
    "> ",
    ">",
    "> [!WARNING] ",
    "> [!DANGER] A\n> B.\n> Avoid: c.\n",
    "[!",
    "Avoid:",
    "# ",
    "## a [only a=b]\n",
    "1. ",
    "1. a\n   1. b\n",
    "- ",
    "   - ",
    "***\n",
    "| a | b |\n|---|---|\n",
    "~~a~~",
    "[^1]",
    "a: ",
    "&x ",
    "*x",
    "? ",
    ": ",
    "- - ",
    "{",
    "}",
    "'",
    "\"",
    "|\n  a\n",
    ">-\n",
    "!!map ",
    "!!binary ",
    "<<: *x\n",
    "%YAML 1.1\n",
    "%",
    "@",
    "# a\n",
    "title: a\n",
    "parts:\n  a: b\n",
    "torques: {a: 12 N·m}\n",
    "stages: [1 N·m, +90°]",
    "options: {a: {values: [b, c]}}\n",
    "0",
    "-1",
    "1e9",
    "1e-400",
    "12 N·m",
    "± 10 %",
    "+90°",
    "max ",
    "min ",
    "..",
    "30 H7",
    "99999999999999999999999999999",
    "0.0000000000000000000000000001",
    "1/0",
    "PT12M",
    "24 h",
    "NaN",
    "inf",
    "1_000",
    "１２",
    "12,5",
    "½",
];
