//! What is public is used by what ships: an item that only tests call proves nothing of the program.

use super::sources;
use crate::harness::fixture::relative;
use std::collections::{BTreeMap, BTreeSet};

/// What the benches alone call: the floor that printing is measured against.
const FOR_BENCHES: [&str; 3] = ["compile_source", "forget", "typst_source"];

/// What declares an item.
const DECLARES: [&str; 7] = ["fn", "struct", "enum", "const", "static", "type", "trait"];

/// Goes by names: of two items with one name, one that is used hides the other.
pub fn only_tested() -> Vec<String> {
    let shipped: Vec<(String, Vec<String>)> = sources("compiler")
        .into_iter()
        .map(|(path, text)| (relative(&path), text))
        .filter(|(path, _)| !path.ends_with("tests.rs") && !path.contains("/sample/"))
        .map(|(path, text)| (path, words(&text)))
        .collect();
    let mut uses: BTreeMap<&str, usize> = BTreeMap::new();
    for (_, words) in &shipped {
        let mut handing_on = false;
        for (n, word) in words.iter().enumerate() {
            let before = n.checked_sub(1).map_or("", |n| words[n].as_str());
            // `pub use` hands on and uses nothing; it ends with its semicolon.
            handing_on = (handing_on || word == "use" && before == "pub") && word != ";";
            if !handing_on && !DECLARES.contains(&before) {
                *uses.entry(word).or_default() += 1;
            }
        }
    }
    let known: BTreeSet<&str> = FOR_BENCHES.into_iter().collect();
    let mut faults = Vec::new();
    for (path, words) in &shipped {
        for item in declared(words) {
            if !uses.contains_key(item) && !known.contains(item) {
                faults.push(format!(
                    "{path}: nothing that ships uses `{item}`; use it or take it out"
                ));
            }
        }
    }
    faults
}

/// The public items that a file declares.
fn declared(words: &[String]) -> impl Iterator<Item = &str> {
    let after = |n: usize| words.get(n).map_or("", String::as_str);
    (0..words.len()).filter(|n| words[*n] == "pub").filter_map(move |n| {
        // `pub const fn NAME` declares a function.
        let n = if after(n + 1) == "const" && after(n + 2) == "fn" {
            n + 1
        } else {
            n
        };
        DECLARES.contains(&after(n + 1)).then(|| after(n + 2))
    })
}

/// The words and semicolons of a file, comments and its own tests left out.
fn words(text: &str) -> Vec<String> {
    let shipped = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or(text);
    let lines = shipped.lines().filter(|line| !line.trim_start().starts_with("//"));
    let mut words = Vec::new();
    for line in lines {
        let parts = line.split_inclusive(';');
        for part in parts {
            let named = part.split(|c: char| !(c.is_alphanumeric() || c == '_'));
            words.extend(named.filter(|word| !word.is_empty()).map(String::from));
            if part.ends_with(';') {
                words.push(";".to_string());
            }
        }
    }
    words
}
