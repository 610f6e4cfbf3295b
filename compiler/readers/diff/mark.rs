//! Bars in the margin: what of a card changed since a revision, put on the card itself.

use super::human::tell;
use super::model::{CardDiff, Change, Fate, Kind};
use crate::cards::card::{Card, ChangeRow, KitRow};
use crate::parse::head::registers::{REGISTERS, Register};
use std::collections::BTreeSet;

/// Stands for the end of the card where steps are gone after the last one left.
const END: &str = "end";

/// Marks a card with what changed since a revision; `since` is what that is called.
pub fn mark(card: &mut Card, since: &str, diff: Option<&CardDiff>) {
    card.revision.since = since.to_string();
    let Some(diff) = diff else { return };
    if diff.fate == Fate::Added {
        card.revision.new = true;
        return;
    }
    // What another choice changes is not on this card.
    let steps: Vec<String> = card
        .phases
        .iter()
        .flat_map(|p| &p.runs)
        .flat_map(|r| &r.steps)
        .map(|s| s.number.clone())
        .collect();
    let mut barred: BTreeSet<&str> = BTreeSet::new();
    for change in &diff.changes {
        row(card, change);
        if change.kind == Kind::StepRemoved && !change.place.is_substep {
            let next = steps.iter().find(|number| **number == change.place.step);
            push(&mut card.revision.gaps, next.map_or(END, |n| n));
        } else {
            barred.insert(&change.place.step);
        }
        barred.extend(change.place.named_in.iter().map(String::as_str));
        entry(card, change);
    }
    card.revision.steps = steps
        .into_iter()
        .filter(|step| barred.contains(step.as_str()))
        .collect();
}

fn row(card: &mut Card, change: &Change) {
    card.revision.changes.push(ChangeRow {
        loud: change.kind.is_loud(),
        kind: change.kind.words().to_string(),
        text: tell(change),
        step: change.place.step.clone(),
    });
}

/// The row of the entry that changed.
fn entry(card: &mut Card, change: &Change) {
    let (id, name) = (&change.place.id, &change.place.name);
    let register = REGISTERS.into_iter().find(|r| r.field() == change.place.register);
    let cover = &card.cover;
    let revision = &mut card.revision;
    let kit = |list: &[KitRow]| list.iter().any(|row| row.name == *name);
    match register {
        Some(Register::Torques) if card.torques.iter().any(|t| t.id == *id) => push(&mut revision.torques, id),
        Some(Register::Limits) if card.measurements.iter().any(|m| m.id == *id) => push(&mut revision.measurements, id),
        Some(Register::Patterns) if card.patterns.iter().any(|p| p.id == *id) => push(&mut revision.patterns, id),
        Some(Register::Holds) if card.holds.iter().any(|h| h.id == *id) => push(&mut revision.holds, id),
        Some(Register::Timers) if cover.timers.iter().any(|t| t.id == *id) => push(&mut revision.timers, id),
        Some(Register::Parts) if kit(&cover.parts) => push(&mut revision.kit, name),
        Some(Register::Temporary) if kit(&cover.temporary) => push(&mut revision.kit, name),
        Some(Register::Consumables) if kit(&cover.consumables) => push(&mut revision.kit, name),
        Some(Register::Tools) if kit(&cover.tools) => push(&mut revision.kit, name),
        _ => {}
    }
}

/// Adds a number or id once.
fn push(list: &mut Vec<String>, item: &str) {
    if !list.iter().any(|known| known == item) {
        list.push(item.to_string());
    }
}
