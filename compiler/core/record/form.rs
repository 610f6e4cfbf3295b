//! Every box there is to fill in on one card for some choices.

use super::read::Filled;
use crate::check::calc::grid;
use crate::domain::calc::Grid;
use crate::model::registers::{Hold, Measurement, Part, Timer, Torque};
use crate::model::{ActKind, Choices, Handle, Item, Set, Thing};
use std::collections::BTreeMap;

/// The boxes of one card.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    /// Position of the procedure in the set.
    pub procedure: usize,
    /// Options that the card depends on, as chosen.
    pub choices: Vec<(String, String)>,
    pub readings: Vec<ReadingBox>,
    pub torques: Vec<TorqueBox>,
    pub timers: Vec<TimerBox>,
    pub holds: Vec<HoldBox>,
    /// Parts that go on and weren't on the machine at the start.
    pub parts: Vec<(Handle<Part>, u32)>,
}

/// A measurement in one step.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingBox {
    pub limit: Handle<Measurement>,
    pub step: String,
    pub places: Grid,
}

/// A tightening in one step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TorqueBox {
    pub torque: Handle<Torque>,
    pub step: String,
}

/// One run of a timer: the steps that start and end it; `None` on another card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimerBox {
    pub timer: Handle<Timer>,
    pub start: Option<String>,
    pub end: Option<String>,
}

/// A hold point.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoldBox {
    pub hold: Handle<Hold>,
    pub step: String,
}

/// The form of the procedure at `position` of a set.
pub fn form(set: &Set, position: usize, choices: &Choices) -> Form {
    let mut form = Form {
        procedure: position,
        choices: crate::cards::chosen(set, position, choices)
            .into_iter()
            .map(|c| (c.option, c.value))
            .collect(),
        readings: Vec::new(),
        torques: Vec::new(),
        timers: Vec::new(),
        holds: Vec::new(),
        parts: Vec::new(),
    };
    let mut running: BTreeMap<Handle<Timer>, usize> = BTreeMap::new();
    let steps = set.procedures[position].steps();
    let kept = steps.filter(|(phase, step)| choices.meet(&phase.only) && choices.meet(&step.only));
    for (_, step) in kept {
        let number = || step.number.to_string();
        for act in step.acts_for(choices) {
            match &act.kind {
                ActKind::Measure(limit) => form.readings.push(ReadingBox {
                    limit: *limit,
                    step: number(),
                    places: grid(&set.catalogue.limits[*limit]),
                }),
                ActKind::Torque(torque) => form.torques.push(TorqueBox {
                    torque: *torque,
                    step: number(),
                }),
                ActKind::Hold(hold) => form.holds.push(HoldBox {
                    hold: *hold,
                    step: number(),
                }),
                ActKind::Start(timer) => {
                    running.insert(*timer, form.timers.len());
                    form.timers.push(TimerBox {
                        timer: *timer,
                        start: Some(number()),
                        end: None,
                    });
                }
                ActKind::End(timer) => match running.remove(timer).and_then(|n| form.timers.get_mut(n)) {
                    Some(run) => run.end = Some(number()),
                    None => form.timers.push(TimerBox {
                        timer: *timer,
                        start: None,
                        end: Some(number()),
                    }),
                },
                ActKind::Fit(Item::Part(part), count) => form.part(set, *part, *count),
                ActKind::Use(Thing::Part(_), _) => {}
                ActKind::Snug(_)
                | ActKind::Loosen(_)
                | ActKind::Fit(..)
                | ActKind::Remove(..)
                | ActKind::Use(..)
                | ActKind::Need(..)
                | ActKind::Set(..)
                | ActKind::Do(_)
                | ActKind::Label(_)
                | ActKind::Step { .. }
                | ActKind::See(_)
                | ActKind::Time(_)
                | ActKind::Only => {}
            }
        }
    }
    form
}

/// The form that a record was begun with.
pub fn form_of(set: &Set, filled: &Filled) -> Result<Form, String> {
    let id = filled.text("procedure");
    let position = set.procedures.iter().position(|p| p.id == id);
    let position = position.ok_or_else(|| format!("{} has no procedure `{id}`", set.title))?;
    let mut choices = Choices::defaults(&set.catalogue);
    for (option, value) in &filled.options {
        match choices.choose(&set.catalogue, option, &value.text) {
            Ok(true) => {}
            Ok(false) => return Err(format!("{} has no option `{option}`", set.title)),
            Err(fault) => {
                let values = fault.values.join(", ");
                return Err(format!("option `{option}` takes {values}, not `{}`", value.text));
            }
        }
    }
    Ok(form(set, position, &choices))
}

impl Form {
    fn part(&mut self, set: &Set, part: Handle<Part>, count: Option<u32>) {
        let entry = &set.catalogue.parts[part];
        let count = count.unwrap_or(entry.qty);
        if entry.fitted {
            return;
        }
        match self.parts.iter_mut().find(|(p, _)| *p == part) {
            Some((_, sum)) => *sum = sum.saturating_add(count),
            None => self.parts.push((part, count)),
        }
    }
}
