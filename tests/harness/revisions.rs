//! Two states of files compared, and the fingerprints of the cards of one.

use super::{Checked, Files, check};
use benchleaf_core::cards::{self, card::Card};
use benchleaf_core::diff::mark::mark;
use benchleaf_core::diff::rules::revision_not_raised;
use benchleaf_core::diff::{Diff, Side, diff, human, markdown};
use benchleaf_core::fingerprint::Code;
use benchleaf_core::leaves::{Sort, cards_of, of_set, versions};
use benchleaf_core::model::Choices;
use std::collections::BTreeMap;

/// A diff in each of its forms.
pub struct Compared {
    pub human: String,
    pub markdown: String,
    pub json: String,
    /// What is marked on each new card, for the default choices.
    pub bars: String,
    pub diff: Diff,
}

/// The cards of every set and choice as all leaves of it are gathered, and as each card is made by itself: name and code.
pub fn cards_both_ways(files: &Files) -> [Vec<(String, String)>; 2] {
    let checked = check(files);
    let mut found = [Vec::new(), Vec::new()];
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        let all = [
            of_set(&checked.files, set, facts),
            cards_of(&checked.files, set, facts, &|_| true),
        ];
        for (found, all) in found.iter_mut().zip(all) {
            let cards = all.into_iter().filter(|leaf| matches!(leaf.sort, Sort::Card(_)));
            found.extend(cards.map(|card| (format!("{:?} {:?}", card.sort, card.choices), card.code.to_string())));
        }
    }
    found
}

/// Compares two states of files.
pub fn compare(old: &Files, new: &Files) -> Compared {
    let (old, new) = (check(old), check(new));
    let diff = diff(side(&old, "before"), side(&new, "after"));
    Compared {
        human: human::render(&diff),
        markdown: markdown::render(&diff),
        json: serde_json::to_string_pretty(&diff).unwrap_or_default() + "\n",
        bars: bars(&new, &diff),
        diff,
    }
}

/// The marks of every card with anything to mark, as JSON.
fn bars(new: &Checked, diff: &Diff) -> String {
    let mut all = BTreeMap::new();
    for (set, facts) in new.compilation.model.sets.iter().zip(&new.compilation.facts) {
        let choices = Choices::defaults(&set.catalogue);
        for (id, procedure) in set.procedures.named() {
            let mut card = cards::card(&new.files, set, facts, id, &choices);
            let sets = diff.sets.iter().filter(|s| s.id == set.id);
            let found = sets
                .flat_map(|s| &s.cards)
                .find(|c| c.procedure == procedure.id && c.matters());
            mark(&mut card, "before", found);
            if found.is_some() {
                all.insert(format!("{} / {}", set.id, procedure.title), bars_of(&card));
            }
        }
    }
    serde_json::to_string_pretty(&all).unwrap_or_default() + "\n"
}

/// What a card says of its changes, and beside which steps and rows bars stand.
fn bars_of(card: &Card) -> serde_json::Value {
    let steps = card.phases.iter().flat_map(|p| &p.runs).flat_map(|r| &r.steps);
    let steps: Vec<&str> = steps.filter(|s| s.changed).map(|s| s.number.as_str()).collect();
    let torques: Vec<&str> = card
        .torques
        .iter()
        .filter(|t| t.changed)
        .map(|t| t.id.as_str())
        .collect();
    let changed = card.measurements.iter().filter(|m| m.changed);
    let measurements: Vec<&str> = changed.map(|m| m.id.as_str()).collect();
    serde_json::json!({
        "since": card.cover.changed_since,
        "changes": card.cover.changes,
        "steps": steps,
        "torques": torques,
        "measurements": measurements,
    })
}

/// Compiles files and adds what comparing them with an older state finds.
pub fn check_since(old: &Files, new: &Files) -> Checked {
    let (old, mut new) = (check(old), check(new));
    let found = diff(side(&old, "v1"), side(&new, "v2"));
    let mut findings = revision_not_raised::check(&found, &new.compilation.model);
    new.compilation.findings.append(&mut findings);
    new.compilation
        .findings
        .sort_by(benchleaf_core::finding::Finding::order);
    new
}

pub fn side<'a>(checked: &'a Checked, name: &'a str) -> Side<'a> {
    Side {
        files: &checked.files,
        model: &checked.compilation.model,
        facts: &checked.compilation.facts,
        blocked: &[],
        name,
    }
}

/// The data of every card for every choice, as text, by the same names as its code.
pub fn data(files: &Files) -> BTreeMap<String, String> {
    let checked = check(files);
    let mut all = BTreeMap::new();
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        for (procedure, versions) in versions(&checked.files, set, facts).into_named() {
            for version in versions {
                let choices: Vec<String> = version.choices.iter().map(|(o, v)| format!("{o}={v}")).collect();
                let name = format!("{} / {} / {}", set.id, set.procedures[procedure].id, choices.join(","));
                all.insert(format!("{name} {}", Code::of(&version.digest)), unplaced(&version.card));
            }
        }
    }
    all
}

/// A card as text, as if it stood nowhere: where it is written is no part of what it says.
fn unplaced(card: &Card) -> String {
    let text = format!("{card:?}");
    let mut pieces = text.split("Span {");
    let mut out = pieces.next().unwrap_or("").to_string();
    for piece in pieces {
        out.push_str(piece.split_once('}').map_or(piece, |(_, rest)| rest));
    }
    out
}

/// The fingerprint of every leaf for every choice, by set, sort and choices.
pub fn codes(files: &Files) -> BTreeMap<String, String> {
    let checked = check(files);
    let mut codes = BTreeMap::new();
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        for card in of_set(&checked.files, set, facts) {
            let choices: Vec<String> = card.choices.iter().map(|(o, v)| format!("{o}={v}")).collect();
            let title = card.sort.procedure().map_or("", |at| &set.procedures[at].title);
            codes.insert(
                format!("{} / {title} {} / {}", set.title, card.sort.word(), choices.join(",")),
                card.code.to_string(),
            );
        }
    }
    codes
}

/// The files of a fixture below a folder of it, without that folder.
pub fn below(files: &Files, folder: &str) -> Files {
    let inside = files.iter().filter_map(|(path, bytes)| {
        let path = path.strip_prefix(folder)?.strip_prefix('/')?;
        Some((path.to_string(), bytes.clone()))
    });
    inside.collect()
}
