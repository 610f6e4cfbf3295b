//! # One thing by two names
//!
//! ## What it means
//! A sentence calls an entry of a register by the words of its id, and the card prints another `name` for it wherever a mark stands.
//!
//! ## Why it matters
//! "Lift off the lid" beside "Fit the **side cover**" are two things to whoever reads the card at the machine. ASD-STE100 asks for one name
//! for one thing.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! parts: {lid: {name: side cover}}
//! ---
//!
//! 1. Clean the lid.
//! 2. Take off the [remove lid].
//! 3. Fit the [fit lid].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! parts: {lid: {name: side cover}}
//! ---
//!
//! 1. Clean the side cover.
//! 2. Take off the [remove lid].
//! 3. Fit the [fit lid].
//! ```

use crate::check::hazards::plain_block;
use crate::finding::{Finding, Rule, Severity};
use crate::model::{Block, Set};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

pub static RULE: Rule = Rule {
    code: "BL714",
    name: "two-names",
    severity: Severity::Advice,
    page: include_str!("two_names.rs"),
};

/// Words after which a noun stands: without one, `press` and `drain` may be verbs.
const BEFORE: [&str; 6] = ["the", "a", "an", "this", "both", "its"];

/// An entry that prints under another name than its id.
struct Other<'a> {
    span: Span,
    name: &'a str,
    /// The words of its id.
    words: Vec<String>,
}

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    let mut others = others(set);
    if others.is_empty() {
        return;
    }
    for (_, step) in set.procedures.iter().flat_map(|p| p.steps()) {
        look(&step.text, step.span, &mut others, findings);
        for sub in &step.substeps {
            look(&sub.text, sub.span, &mut others, findings);
        }
    }
}

/// Entries told of once are taken out of `others`.
fn look(blocks: &[Block], span: Span, others: &mut BTreeMap<String, Vec<Other>>, findings: &mut Vec<Finding>) {
    for block in blocks {
        let words: Vec<String> = words(&plain_block(block));
        for (n, word) in words.iter().enumerate() {
            if !BEFORE.contains(&word.as_str()) {
                continue;
            }
            let after = words.get(n + 1..).unwrap_or_default();
            let Some(next) = after.first() else { continue };
            let Some(entries) = others.get_mut(next) else { continue };
            let said = |other: &Other| after.starts_with(&other.words);
            if let Some(at) = entries.iter().position(said) {
                let other = entries.remove(at);
                let message = format!(
                    "`{}` in this step is what the card calls `{}` elsewhere",
                    other.words.join(" "),
                    other.name
                );
                findings.push(
                    Finding::new(&RULE, span, message)
                        .also(other.span, "its entry")
                        .help("put a mark in its place, call it by its name, or let the entry have this name"),
                );
            }
        }
    }
}

/// Entries whose id says another word than their name, by the first word of the id. An id that is also part of what something else is
/// called, or that two entries have, says nothing.
fn others(set: &Set) -> BTreeMap<String, Vec<Other<'_>>> {
    let catalogue = &set.catalogue;
    let parts = catalogue.parts.iter().map(|(_, d)| (&d.id, &d.value.name));
    let temporary = catalogue.temporary.iter().map(|(_, d)| (&d.id, &d.value.name));
    let tools = catalogue.tools.iter().map(|(_, d)| (&d.id, &d.value.name));
    let consumables = catalogue.consumables.iter().map(|(_, d)| (&d.id, &d.value.name));
    // The id of a torque often is the word for what its fasteners hold.
    let all: Vec<_> = (parts.chain(temporary).chain(tools).chain(consumables))
        .map(|(id, name)| (id, name, words(&id.text), words(name)))
        .collect();
    let mut others: BTreeMap<String, Vec<Other>> = BTreeMap::new();
    for (n, (id, name, own, called)) in all.iter().enumerate() {
        let called: BTreeSet<&String> = called.iter().collect();
        let is_word = |w: &String| w.len() > 2 && w.chars().all(char::is_alphabetic);
        // `bolts` for "M8 bolt" is the same word; `lid` beside "side cover" shares none with it.
        if own.is_empty() || !own.iter().all(is_word) || own.iter().any(|w| called.contains(w)) {
            continue;
        }
        let elsewhere = all
            .iter()
            .enumerate()
            .any(|(m, (_, _, other_id, other_name))| m != n && (holds(other_id, own) || holds(other_name, own)));
        let Some(first) = own.first().filter(|_| !elsewhere) else {
            continue;
        };
        others.entry(first.clone()).or_default().push(Other {
            span: id.span,
            name,
            words: own.clone(),
        });
    }
    others
}

/// True if some words hold others one after the other.
fn holds(words: &[String], others: &[String]) -> bool {
    words.windows(others.len()).any(|window| window == others)
}

/// The words of a text in small letters, of several of a thing the word for one. `this` is not several of anything.
fn words(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(|word| {
            let word = word.to_lowercase();
            match word.strip_suffix('s') {
                Some(one) if one.len() > 2 && !one.ends_with('s') && word != "this" => one.to_string(),
                _ => word,
            }
        })
        .collect()
}
