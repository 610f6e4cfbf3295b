//! Torques and limits alone: what is looked up once the steps are known by heart.

use super::beside::Pocket;
use super::card::{Card, Further, Identity, Measurement, Members, Stage, StepAt, Torque};
use super::identity;
use super::value::Value;
use crate::model::{Choices, Set};
use crate::words::{Phrase, say};

/// The torques and limits of one card, under its own name.
pub fn of_card(card: &Card) -> Pocket {
    gathered(card.identity.clone(), std::slice::from_ref(card))
}

/// The torques and limits of some cards of a set. One card keeps its own identity.
pub fn pocket(set: &Set, choices: &Choices, cards: &[Card]) -> Pocket {
    if let [card] = cards {
        return of_card(card);
    }
    let mut identity = identity::close_out(set, choices);
    identity.procedure = "pocket".to_string();
    identity.title = say::torques_and_limits();
    gathered(identity, cards)
}

fn gathered(mut identity: Identity, cards: &[Card]) -> Pocket {
    let one = cards.len() == 1;
    // Nothing of it is printed here.
    identity.source = String::new();
    let mut torques: Vec<Torque> = Vec::new();
    let mut measurements: Vec<Measurement> = Vec::new();
    for card in cards {
        let place = |step: &StepAt| match one {
            true => step.clone(),
            false => step.on(card.identity.position),
        };
        for torque in &card.torques {
            let (steps, row) = bare(torque.clone());
            // Two cards may have entries of their own by one id: only the same figure is one row.
            let same = |known: &&mut Torque| {
                Torque {
                    steps: Vec::new(),
                    ..(**known).clone()
                } == row
            };
            let steps = steps.iter().map(place);
            match torques.iter_mut().find(same) {
                Some(row) => row.steps.extend(steps),
                None => torques.push(Torque {
                    steps: steps.collect(),
                    ..row
                }),
            }
        }
        for measurement in &card.measurements {
            let (steps, row) = bare_limit(measurement.clone());
            let same = |known: &&mut Measurement| {
                Measurement {
                    steps: Vec::new(),
                    ..(**known).clone()
                } == row
            };
            let steps = steps.iter().map(place);
            match measurements.iter_mut().find(same) {
                Some(row) => row.steps.extend(steps),
                None => measurements.push(Measurement {
                    steps: steps.collect(),
                    ..row
                }),
            }
        }
    }
    Pocket {
        identity,
        torques,
        measurements,
    }
}

/// The steps of a torque, and what a pocket card prints of it.
fn bare(torque: Torque) -> (Vec<StepAt>, Torque) {
    let stages = torque.stages.into_iter().map(|stage| Stage {
        boxes: 1,
        members: Members::default(),
        ..stage
    });
    let row = Torque {
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
    };
    (torque.steps, row)
}

/// The same of a measurement.
fn bare_limit(measurement: Measurement) -> (Vec<StepAt>, Measurement) {
    let row = Measurement {
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
    };
    (measurement.steps, row)
}
