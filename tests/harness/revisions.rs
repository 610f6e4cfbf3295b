//! Two states of files compared, and the fingerprints of the cards of one.

use super::{Checked, Files, check};
use benchleaf::readers::diff::{Diff, Side, diff, human, markdown};
use benchleaf::readers::fingerprint::of_set;
use std::collections::BTreeMap;

/// A diff in each of its forms.
pub struct Compared {
    pub human: String,
    pub markdown: String,
    pub json: String,
    pub diff: Diff,
}

/// Compares two states of files.
pub fn compare(old: &Files, new: &Files) -> Compared {
    let (old, new) = (check(old), check(new));
    let diff = diff(side(&old, "before"), side(&new, "after"));
    Compared {
        human: human::render(&diff),
        markdown: markdown::render(&diff),
        json: serde_json::to_string_pretty(&diff).unwrap_or_default() + "\n",
        diff,
    }
}

fn side<'a>(checked: &'a Checked, name: &'a str) -> Side<'a> {
    Side {
        files: &checked.files,
        model: &checked.compilation.model,
        facts: &checked.compilation.facts,
        name,
    }
}

/// The fingerprint of every card for every choice, by set, place and choices.
pub fn codes(files: &Files) -> BTreeMap<String, String> {
    let checked = check(files);
    let mut codes = BTreeMap::new();
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        for card in of_set(&checked.files, set, facts) {
            let choices: Vec<String> = card.choices.iter().map(|(o, v)| format!("{o}={v}")).collect();
            let title = &set.procedures[card.position].title;
            codes.insert(
                format!("{} / {title} / {}", set.title, choices.join(",")),
                card.code.to_string(),
            );
        }
    }
    codes
}
