//! Torques and limits alone: what is looked up once the steps are known by heart.

use super::beside::Pocket;
use super::card::{Card, Further, Identity, Measurement, Members, Stage, StepAt, Torque};
use super::identity;
use super::value::Value;
use crate::model::{Choices, Set};
use crate::words::{Phrase, say};
use std::borrow::Borrow;

/// The torques and limits of one card, under its own name.
pub fn of_card(card: &Card) -> Pocket {
    gathered(card.identity.clone(), std::slice::from_ref(card))
}

/// The torques and limits of some cards of a set. One card keeps its own identity.
pub fn pocket<C: Borrow<Card>>(set: &Set, choices: &Choices, cards: &[C]) -> Pocket {
    if let [card] = cards {
        return of_card(card.borrow());
    }
    let mut identity = identity::close_out(set, choices);
    identity.procedure = "pocket".to_string();
    identity.title = say::torques_and_limits();
    gathered(identity, cards)
}

fn gathered<C: Borrow<Card>>(mut identity: Identity, cards: &[C]) -> Pocket {
    let one = cards.len() == 1;
    // Nothing of it is printed here.
    identity.source = String::new();
    let mut torques: Vec<(Torque, Vec<StepAt>)> = Vec::new();
    let mut measurements: Vec<(Measurement, Vec<StepAt>)> = Vec::new();
    for card in cards.iter().map(Borrow::borrow) {
        let place = |step: &StepAt| match one {
            true => step.clone(),
            false => step.on(card.identity.position),
        };
        for torque in &card.torques {
            let steps = torque.steps.iter().map(place);
            add(&mut torques, bare(torque.clone()), steps);
        }
        for measurement in &card.measurements {
            let steps = measurement.steps.iter().map(place);
            add(&mut measurements, bare_limit(measurement.clone()), steps);
        }
    }
    let torque = |(row, steps)| Torque { steps, ..row };
    let measurement = |(row, steps)| Measurement { steps, ..row };
    Pocket {
        identity,
        torques: torques.into_iter().map(torque).collect(),
        measurements: measurements.into_iter().map(measurement).collect(),
    }
}

/// Adds the steps of a row. Two cards may have entries of their own by one id: only the same figure is one row.
fn add<R: PartialEq>(rows: &mut Vec<(R, Vec<StepAt>)>, row: R, steps: impl Iterator<Item = StepAt>) {
    match rows.iter_mut().find(|(known, _)| *known == row) {
        Some((_, known)) => known.extend(steps),
        None => rows.push((row, steps.collect())),
    }
}

/// What a pocket card prints of a torque, without its steps.
fn bare(torque: Torque) -> Torque {
    let stages = torque.stages.into_iter().map(|stage| Stage {
        boxes: 1,
        members: Members::default(),
        ..stage
    });
    Torque {
        stages: stages.collect(),
        into: Value::default(),
        pattern: String::new(),
        pattern_name: String::new(),
        tool: String::new(),
        single_use: false,
        thread: Further::default(),
        note: String::new(),
        steps: Vec::new(),
        ..torque
    }
}

/// The same of a measurement.
fn bare_limit(measurement: Measurement) -> Measurement {
    Measurement {
        unit: String::new(),
        rows: Vec::new(),
        columns: Vec::new(),
        members: Members::default(),
        record: false,
        calc: Phrase::default(),
        working: Vec::new(),
        out: Further::default(),
        note: String::new(),
        steps: Vec::new(),
        ..measurement
    }
}
