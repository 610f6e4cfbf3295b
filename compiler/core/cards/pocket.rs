//! Torques and limits alone: what is looked up once the steps are known by heart.

use super::beside::Pocket;
use super::card::{Card, Measurement, Torque};
use super::identity::{self, STANDING_NOTICE};
use crate::model::{Choices, Set};

/// The torques and limits of some cards of a set. One card keeps its own identity.
pub fn pocket(set: &Set, choices: &Choices, cards: Vec<Card>) -> Pocket {
    let one = cards.len() == 1;
    let mut identity = identity::close_out(set, choices);
    if let ([card], true) = (cards.as_slice(), one) {
        identity = card.identity.clone();
    } else {
        identity.procedure = "pocket".to_string();
        identity.title = "Torques and limits".to_string();
    }
    let mut torques: Vec<Torque> = Vec::new();
    let mut measurements: Vec<Measurement> = Vec::new();
    for card in cards {
        let place = |step: &String| match one {
            true => step.clone(),
            false => format!("card {}, {step}", card.identity.position),
        };
        for mut torque in card.torques {
            let steps: Vec<String> = torque.steps.iter().map(place).collect();
            torque.steps = Vec::new();
            // Two cards may have entries of their own by one id: only the same figure is one row.
            let same = |row: &&mut Torque| {
                Torque {
                    steps: Vec::new(),
                    ..(**row).clone()
                } == torque
            };
            match torques.iter_mut().find(same) {
                Some(row) => row.steps.extend(steps),
                None => torques.push(Torque { steps, ..torque }),
            }
        }
        for mut measurement in card.measurements {
            let steps: Vec<String> = measurement.steps.iter().map(place).collect();
            measurement.steps = Vec::new();
            let same = |row: &&mut Measurement| {
                Measurement {
                    steps: Vec::new(),
                    ..(**row).clone()
                } == measurement
            };
            match measurements.iter_mut().find(same) {
                Some(row) => row.steps.extend(steps),
                None => measurements.push(Measurement { steps, ..measurement }),
            }
        }
    }
    Pocket {
        identity,
        notices: vec![STANDING_NOTICE.to_string()],
        torques,
        measurements,
    }
}
