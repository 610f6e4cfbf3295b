//! Bars in the margin: what of a card changed since a revision, put on the card itself.

use super::human::tell;
use super::model::{CardDiff, Change, Fate, Kind};
use crate::cards::card::{Card, ChangeRow};
use crate::parse::head::registers::{REGISTERS, Register};

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
    for change in &diff.changes {
        row(card, change);
        match change.kind {
            Kind::StepRemoved if !change.place.is_substep => {
                let next = steps.iter().find(|number| **number == change.place.step);
                push(&mut card.revision.gaps, next.map_or(END, |n| n));
            }
            _ if steps.contains(&change.place.step) => push(&mut card.revision.steps, &change.place.step),
            _ => {}
        }
        entry(card, change);
    }
}

fn row(card: &mut Card, change: &Change) {
    card.revision.changes.push(ChangeRow {
        loud: change.kind.is_loud(),
        kind: change.kind.words().to_string(),
        text: tell(change),
        step: change.place.step.clone(),
    });
}

/// The row of the entry that changed, and the steps that print it.
fn entry(card: &mut Card, change: &Change) {
    let id = change.place.id.as_str();
    let register = REGISTERS.into_iter().find(|r| r.field() == change.place.register);
    let Some(register) = register else { return };
    let mut steps: Vec<String> = Vec::new();
    let revision = &mut card.revision;
    match register {
        Register::Torques => {
            let row = card.torques.iter().find(|t| t.id == id);
            steps.extend(row.into_iter().flat_map(|t| t.steps.iter().cloned()));
            push(&mut revision.torques, id);
        }
        Register::Limits => {
            let row = card.measurements.iter().find(|m| m.id == id);
            steps.extend(row.into_iter().flat_map(|m| m.steps.iter().cloned()));
            push(&mut revision.measurements, id);
        }
        Register::Patterns => {
            let rows = card.torques.iter().filter(|t| t.pattern == id);
            steps.extend(rows.flat_map(|t| t.steps.iter().cloned()));
            push(&mut revision.patterns, id);
        }
        Register::Holds => {
            let row = card.holds.iter().find(|h| h.id == id);
            steps.extend(row.map(|h| h.step.clone()));
            push(&mut revision.holds, id);
        }
        Register::Timers => push(&mut revision.timers, id),
        Register::Parts | Register::Temporary | Register::Consumables | Register::Tools => {
            let name = &change.place.name;
            let lists = [
                &card.cover.parts,
                &card.cover.temporary,
                &card.cover.consumables,
                &card.cover.tools,
            ];
            if let Some(row) = lists.into_iter().flatten().find(|row| row.name == *name) {
                push(&mut revision.kit, &row.name);
                steps.extend(row.steps.iter().cloned());
            }
        }
        Register::States | Register::Actions | Register::Options => {}
    }
    steps.iter().for_each(|step| push(&mut card.revision.steps, step));
}

/// Adds a number or id once.
fn push(list: &mut Vec<String>, item: &str) {
    if !list.iter().any(|known| known == item) {
        list.push(item.to_string());
    }
}
