//! What is the same on every card of a set: the sheet that is read once, before the first card.

use super::beside::{SetCard, SetSheet};
use super::card::{Card, HazardRow, KitRow, Signal};
use super::cover::paragraphs;
use super::identity;
use super::value::Value;
use crate::check::Facts;
use crate::fingerprint::Code;
use crate::model::{Choices, Set};
use crate::words::{Phrase, say};

/// The sheet of a set from its cards with their codes, in their order.
pub fn of_set(set: &Set, facts: &Facts, choices: &Choices, cards: &[(&Card, Code)]) -> SetSheet {
    let mut identity = identity::close_out(set, choices);
    identity.procedure = "set-sheet".to_string();
    identity.title = say::set_sheet();
    identity.position = 0;
    let kit = |of: fn(&Card) -> &Vec<KitRow>| {
        let mut rows: Vec<KitRow> = Vec::new();
        for (card, _) in cards {
            of(card)
                .iter()
                .for_each(|row| gather(&mut rows, row, card.identity.position));
        }
        rows
    };
    SetSheet {
        identity,
        about: paragraphs(set.about.as_ref()),
        applies_to: set.applies_to.clone(),
        notices: [say::standing_notice(), Phrase::from(&set.notice)]
            .into_iter()
            .chain(facts.allowed.iter().map(Phrase::from))
            .filter(|notice| !notice.is_empty())
            .collect(),
        cards: cards.iter().map(line).collect(),
        hazards: hazards(cards),
        tools: kit(|card| &card.cover.tools),
        parts: kit(|card| &card.cover.parts),
        consumables: kit(|card| &card.cover.consumables),
        temporary: kit(|card| &card.cover.temporary),
    }
}

fn line((card, code): &(&Card, Code)) -> SetCard {
    SetCard {
        position: card.identity.position,
        procedure: card.identity.procedure.clone(),
        title: card.identity.title.english(),
        code: code.to_string(),
        steps: card.cover.steps,
        hands_on: card.cover.hands_on.clone(),
        timed: card.cover.timed,
    }
}

/// A thing that several cards take is one row.
fn gather(rows: &mut Vec<KitRow>, row: &KitRow, card: usize) {
    let same = |known: &&mut KitRow| known.name == row.name && known.detail == row.detail;
    match rows.iter_mut().find(same) {
        Some(known) => {
            known.steps.push(card.to_string());
            known.single_use |= row.single_use;
        }
        None => rows.push(KitRow {
            amount: Value::default(),
            steps: vec![card.to_string()],
            ..row.clone()
        }),
    }
}

/// The two most severe levels of all cards.
fn hazards(cards: &[(&Card, Code)]) -> Vec<HazardRow> {
    let mut rows: Vec<HazardRow> = Vec::new();
    for (card, _) in cards {
        for row in &card.cover.hazards {
            let at = Phrase::from(card.identity.position.to_string());
            match rows
                .iter_mut()
                .find(|r| r.signal == row.signal && r.hazard == row.hazard)
            {
                Some(known) => known.at.push(at),
                None => rows.push(HazardRow {
                    at: vec![at],
                    ..row.clone()
                }),
            }
        }
    }
    rows.sort_by_key(|row| std::cmp::Reverse(row.signal));
    let mut levels: Vec<Signal> = rows.iter().map(|row| row.signal).collect();
    levels.dedup();
    rows.retain(|row| levels.iter().take(2).any(|level| *level == row.signal));
    rows
}
