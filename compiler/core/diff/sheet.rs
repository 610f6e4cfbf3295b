//! A diff as a change sheet for the bench.

use super::human::{is_prose, loud};
use super::model::{CardDiff, Change, Chosen, Diff, Fate, Kind, SetDiff};
use crate::cards::card::Identity;
use crate::diff::leaf::{CardChanges, ChangeSheet, Replace, Row, SetChanges, SharedRow};
use crate::words::{Phrase, say};

/// The change sheet; `language` and `paper` are those of the sets.
pub fn sheet(diff: &Diff, language: &str, paper: &str) -> ChangeSheet {
    let cards = || diff.sets.iter().flat_map(|s| &s.cards);
    let count = |fate| cards().filter(|c| c.fate == fate && c.matters()).count();
    let shared = |(cards, change): (Vec<String>, &Change)| SharedRow {
        cards,
        change: row(change),
    };
    ChangeSheet {
        identity: identity(diff, language, paper),
        old: diff.old.clone(),
        new: diff.new.clone(),
        matters: diff.matters(),
        changed: count(Fate::Kept),
        added: count(Fate::Added),
        removed: count(Fate::Removed),
        loud: loud(diff)
            .into_iter()
            .map(|(card, c)| shared((vec![card], c)))
            .collect(),
        replace: diff.sets.iter().flat_map(replace).collect(),
        sets: diff.sets.iter().map(set).collect(),
        remarks: diff.remarks.clone(),
    }
}

/// One set is named; several are told by their own headings.
fn identity(diff: &Diff, language: &str, paper: &str) -> Identity {
    let (set, set_title) = match diff.sets.as_slice() {
        [one] => (one.id.clone(), one.title.clone()),
        _ => (String::new(), String::new()),
    };
    Identity {
        set,
        set_title,
        machine: String::new(),
        procedure: "changes".to_string(),
        title: say::what_changed(),
        position: 0,
        of: 0,
        rev: String::new(),
        date: String::new(),
        source: String::new(),
        draft: false,
        choices: Vec::new(),
        language: language.into(),
        paper: paper.to_string(),
        uncommitted: false,
    }
}

/// A row for each card that is another, those of other choices after that of the default ones.
fn replace(set: &SetDiff) -> Vec<Replace> {
    let one = |card: &CardDiff| Replace {
        set_title: set.title.clone(),
        position: card.position,
        title: card.title.clone(),
        act: match card.fate {
            Fate::Kept if card.old_code.is_empty() => "print",
            Fate::Kept => "replace",
            Fate::Added => "print",
            Fate::Removed => "take-down",
        },
        old_code: card.old_code.clone(),
        new_code: card.new_code.clone(),
        other_choices: false,
    };
    let rows = |card: &CardDiff| {
        let own = (card.old_code != card.new_code).then(|| one(card));
        let other = |chosen: &Chosen| Replace {
            title: format!("{} ({})", card.title, chosen.words()),
            act: if chosen.old.is_empty() { "print" } else { "replace" },
            old_code: chosen.old.clone(),
            new_code: chosen.new.clone(),
            other_choices: true,
            ..one(card)
        };
        let gone = |chosen: &Chosen| Replace {
            title: format!("{} ({})", card.title, chosen.words()),
            act: "take-down",
            old_code: chosen.old.clone(),
            new_code: String::new(),
            other_choices: true,
            ..one(card)
        };
        let mut others: Vec<Replace> = card.others.iter().map(other).collect();
        others.extend(card.withdrawn.iter().map(gone));
        own.into_iter().chain(others)
    };
    set.cards.iter().flat_map(rows).collect()
}

fn set(set: &SetDiff) -> SetChanges {
    let shared = set.shared.iter().filter(|s| !s.change.kind.is_loud());
    SetChanges {
        id: set.id.clone(),
        title: set.title.clone(),
        fate: fate(set.fate),
        was: set.was.clone(),
        reordered: set.reordered.clone(),
        shared: shared
            .map(|s| SharedRow {
                cards: s.cards.clone(),
                change: row(&s.change),
            })
            .collect(),
        cards: set.cards.iter().map(card).collect(),
    }
}

fn card(card: &CardDiff) -> CardChanges {
    let own = card.changes.iter().filter(|c| !c.shared && !c.kind.is_loud());
    CardChanges {
        position: card.position,
        title: card.title.clone(),
        procedure: card.procedure.clone(),
        fate: fate(card.fate),
        old_rev: card.old_rev.clone(),
        new_rev: card.new_rev.clone(),
        rev_not_raised: card.rev_not_raised,
        old_code: card.old_code.clone(),
        new_code: card.new_code.clone(),
        safety: card.changes.iter().any(|c| c.kind.is_loud()),
        changes: own.map(row).collect(),
        same: card.same.clone(),
    }
}

fn row(change: &Change) -> Row {
    Row {
        kind: kind(change.kind),
        subject: change.subject.clone(),
        field: change.field.said(),
        old: change.old.text.clone(),
        old_second: change.old.second.clone(),
        new: change.new.text.clone(),
        new_second: change.new.second.clone(),
        ratio: Phrase::figure(&change.ratio),
        note: change.note.clone(),
        prose: is_prose(change),
    }
}

fn fate(fate: Fate) -> &'static str {
    match fate {
        Fate::Kept => "kept",
        Fate::Added => "added",
        Fate::Removed => "removed",
    }
}

/// As the JSON of a diff names it.
fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::MessageDropped => "message-dropped",
        Kind::MessageWeakened => "message-weakened",
        Kind::Value => "value",
        Kind::EntryAdded => "entry-added",
        Kind::EntryRemoved => "entry-removed",
        Kind::StepRemoved => "step-removed",
        Kind::StepAdded => "step-added",
        Kind::StepMoved => "step-moved",
        Kind::StepWork => "step-work",
        Kind::StepGuard => "step-guard",
        Kind::Stop => "stop",
        Kind::CarriedGuard => "carried-guard",
        Kind::Carried => "carried",
        Kind::StepCondition => "step-condition",
        Kind::StepReworded => "step-reworded",
        Kind::MessageAdded => "message-added",
        Kind::MessageStrengthened => "message-strengthened",
        Kind::MessageReworded => "message-reworded",
        Kind::Words => "words",
        Kind::Order => "order",
        Kind::Numbers => "numbers",
    }
}
