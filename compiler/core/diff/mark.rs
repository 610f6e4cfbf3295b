//! Bars in the margin: what of a card changed since a revision, put on the card itself.

use super::human::tell;
use super::model::{CardDiff, Change, Fate, Kind};
use crate::cards::card::{self, Card, Step};
use crate::model::registers::Register;
use crate::words::{Phrase, say};

/// Marks a card with what changed since a revision; `since` is what that is called. What another choice changes is not on this card.
pub fn mark(card: &mut Card, since: &str, diff: Option<&CardDiff>) {
    card.cover.changed_since = since.to_string();
    let Some(diff) = diff else { return };
    let choices = card.identity.choices.iter();
    let choices: Vec<(String, String)> = choices.map(|c| (c.option.clone(), c.value.clone())).collect();
    if diff.fate == Fate::Added {
        card.cover.changes.push(card::Change {
            loud: false,
            kind: Phrase::default(),
            text: say::card_is_new(),
        });
        return;
    }
    for change in diff.changes_for(&choices) {
        card.cover.changes.push(row(change));
        step(card, change);
        for number in &change.place.named_in {
            steps(card)
                .filter(|s| s.number == *number)
                .for_each(|s| s.changed = true);
        }
        entry(card, change);
    }
}

fn row(change: &Change) -> card::Change {
    card::Change {
        loud: change.kind.is_loud(),
        kind: change.kind.words(),
        text: tell(change),
    }
}

/// The step that changed. Where one is gone, the bar stands beside the step that took its place, or beside the last.
fn step(card: &mut Card, change: &Change) {
    let number = &change.place.step;
    if let Some(step) = steps(card).find(|s| s.number == *number) {
        step.changed = true;
    } else if change.kind == Kind::StepRemoved
        && let Some(last) = steps(card).last()
    {
        last.changed = true;
    }
}

/// The rows of the entry that changed.
fn entry(card: &mut Card, change: &Change) {
    let id = &change.place.id;
    let is = |register: Register| change.place.register == register.field();
    for torque in &mut card.torques {
        torque.changed |= is(Register::Torques) && torque.id == *id || is(Register::Patterns) && torque.pattern == *id;
    }
    for measurement in &mut card.measurements {
        measurement.changed |= is(Register::Limits) && measurement.id == *id;
    }
}

fn steps(card: &mut Card) -> impl DoubleEndedIterator<Item = &mut Step> {
    let runs = card.phases.iter_mut().flat_map(|p| &mut p.runs);
    runs.flat_map(|r| &mut r.steps)
}
