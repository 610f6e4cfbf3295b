//! The record leaf of a set: what is copied from its cards before they are wiped for the next job.

use super::beside::{FormCard, FormReading, FormTorque, RecordForm};
use super::card::{Card, Measurement, Stage, StepAt, Torque};
use super::identity;
use crate::model::{Choices, Set};
use crate::words::say;
use std::borrow::Borrow;

/// The record leaf of some cards of a set. One card keeps its own identity.
pub fn record_form<C: Borrow<Card>>(set: &Set, choices: &Choices, cards: &[C]) -> RecordForm {
    if let [card] = cards {
        return of_one(card.borrow());
    }
    let mut identity = identity::close_out(set, choices);
    identity.procedure = "record".to_string();
    identity.title = say::record_leaf();
    let kept = cards
        .iter()
        .map(|card| of_card(card.borrow()))
        .filter(|card| !card.is_empty());
    RecordForm {
        cards: kept.collect(),
        identity,
    }
}

/// The record leaf of one card, under its own name.
pub fn of_one(card: &Card) -> RecordForm {
    let mut identity = card.identity.clone();
    // Nothing of it is printed here.
    identity.source = String::new();
    RecordForm {
        identity,
        cards: Some(of_card(card))
            .filter(|card| !card.is_empty())
            .into_iter()
            .collect(),
    }
}

/// What is kept of one card: the readings that its limits ask to be recorded, what was tightened and with which wrench, clock times,
/// signatures.
fn of_card(card: &Card) -> FormCard {
    let readings = card.measurements.iter().filter(|m| m.record);
    FormCard {
        position: card.identity.position,
        title: card.identity.title.english(),
        readings: readings.map(reading).collect(),
        torques: card.torques.iter().map(torque).collect(),
        timers: card.cover.timers.clone(),
        holds: card.holds.clone(),
    }
}

impl FormCard {
    fn is_empty(&self) -> bool {
        let FormCard {
            position: _,
            title: _,
            readings,
            torques,
            timers,
            holds,
        } = self;
        readings.is_empty() && torques.is_empty() && timers.is_empty() && holds.is_empty()
    }
}

fn reading(measurement: &Measurement) -> FormReading {
    FormReading {
        id: measurement.id.clone(),
        name: measurement.name.clone(),
        limit: measurement.limit.clone(),
        range: measurement.range.clone(),
        unit: measurement.unit.clone(),
        places: places(measurement),
        steps: measurement.steps.clone(),
        span: measurement.span,
    }
}

/// A name for each reading, in the order of the boxes on the card, with its step where several take it; one without a name where there is one
/// alone.
fn places(measurement: &Measurement) -> Vec<String> {
    let named = |names: &[String]| {
        if names.is_empty() {
            vec![String::new()]
        } else {
            names.to_vec()
        }
    };
    let both = |a: &str, b: &str| match (a.is_empty(), b.is_empty()) {
        (true, _) => b.to_string(),
        (_, true) => a.to_string(),
        _ => format!("{a}, {b}"),
    };
    let steps = match measurement.steps.as_slice() {
        [] | [_] => vec![String::new()],
        several => several.iter().map(|step| step.number().to_string()).collect(),
    };
    let mut all = Vec::new();
    for step in steps {
        for member in named(&measurement.members.0) {
            for row in named(&measurement.rows) {
                for column in named(&measurement.columns) {
                    all.push(both(&step, &both(&both(&member, &row), &column)));
                }
            }
        }
    }
    all
}

fn torque(torque: &Torque) -> FormTorque {
    let figures = torque.stages.iter().map(|stage| stage.figure.said().clone());
    let of_passes = |stage: &Stage| stage.passes.iter().map(|pass| pass.members.0.len()).max();
    let members = |stage: &Stage| of_passes(stage).unwrap_or(stage.members.0.len());
    let members = torque.stages.iter().map(members).max();
    FormTorque {
        id: torque.id.clone(),
        name: torque.name.clone(),
        count: torque.count.saturating_mul(members.unwrap_or_default().max(1)),
        figure: figures.reduce(say::then).unwrap_or_default(),
        steps: torque.steps.iter().map(StepAt::clone).collect(),
        span: torque.span,
    }
}
