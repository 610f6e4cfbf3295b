//! The signal word of each message on the page, held against its level.

use std::collections::BTreeMap;

use benchleaf_core::cards::text::Signal;
use benchleaf_core::words::Language;

use super::breach::{Breach, Kind};
use super::node::Tree;
use super::words::Printed;

/// The five words of every language there is; a template may have others: the same level has the same word everywhere, another level another.
pub fn signal_words() -> Vec<(&'static str, String)> {
    let levels = [
        ("danger", Signal::Danger),
        ("warning", Signal::Warning),
        ("caution", Signal::Caution),
        ("notice", Signal::Notice),
        ("note", Signal::Note),
    ];
    let words = |language: Language| levels.map(|(level, signal)| (level, signal.word().in_language(language)));
    Language::ALL.into_iter().flat_map(words).collect()
}

/// Tells of messages whose word on the page is another level's.
pub fn check(tree: &Tree, printed: &BTreeMap<usize, Printed>, found: &mut Vec<Breach>) {
    let known = signal_words();
    let mut by_word: BTreeMap<String, &str> = BTreeMap::new();
    for (index, node) in tree.nodes.iter().enumerate() {
        let (Some(signal), Some(printed)) = (node.signal.as_deref(), printed.get(&index)) else {
            continue;
        };
        let mut runs = printed
            .runs()
            .map(|(_, run)| run.clusters.iter().map(|c| c.text.as_str()).collect::<String>());
        let first = runs
            .find(|text| text.chars().any(char::is_alphabetic))
            .unwrap_or_default();
        let word: String = first
            .trim()
            .chars()
            .take_while(|c| c.is_alphabetic() || *c == ' ')
            .collect();
        let word = word.trim().to_string();
        let other = known.iter().find(|(_, w)| *w == word).map(|(level, _)| *level);
        // Rows of hazards stand below one word for all of their level: the first of them has it.
        if other.is_none() && !node.path.ends_with("messages") {
            continue;
        }
        let taken = *by_word.entry(word.clone()).or_insert(signal);
        if taken != signal || other.is_some_and(|level| level != signal) {
            let words = format!("the page says {word} where the leaf says {}", signal.to_uppercase());
            found.push(Breach::of(node, printed.leaf(), Kind::Lost, words));
        }
    }
}
