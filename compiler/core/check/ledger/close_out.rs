//! What the close-out card ticks: every temporary item off, every fastener tight, every hold initialled.

use super::carried::Place;
use super::flow::Flow;
use crate::model::registers::{self, Temporary, Torque};
use crate::model::{ActKind, Choices, Handle, Item, Set};
use std::collections::BTreeMap;

/// A temporary item that the job fits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TemporaryItem {
    pub item: Handle<Temporary>,
    /// The most that are on at a time.
    pub count: u32,
    /// The steps that take it off for the last time; several if it comes off in parts, none if it stays on.
    pub off: Vec<Place>,
}

/// A fastener that the job tightens.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FinalTorque {
    pub torque: Handle<Torque>,
    /// The last step that tightens it.
    pub at: Place,
}

/// A hold point that the job meets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hold {
    pub hold: Handle<registers::Hold>,
    pub at: Place,
}

/// The close-out of a set.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CloseOut {
    /// In the order of the register.
    pub temporary: Vec<TemporaryItem>,
    /// In the order of the register.
    pub torques: Vec<FinalTorque>,
    /// In the order of the job.
    pub holds: Vec<Hold>,
}

/// What is ticked at the end of a set, for one combination of choices.
pub fn close_out(set: &Set, choices: &Choices) -> CloseOut {
    let flow = Flow::new(set);
    let mut temporary: BTreeMap<Handle<Temporary>, (u32, TemporaryItem)> = BTreeMap::new();
    let mut torques = BTreeMap::new();
    let mut holds = Vec::new();
    for stop in &flow.stops {
        for deed in stop.deeds.iter().filter(|d| d.guard.holds(&flow.variables, choices)) {
            let at = Place {
                procedure: stop.procedure,
                step: stop.step.number,
                span: deed.act.span,
            };
            match &deed.act.kind {
                ActKind::Fit(Item::Temporary(item), count) => {
                    let qty = set.catalogue.temporary[*item].qty;
                    let (on, entry) = temporary.entry(*item).or_insert_with(|| {
                        let entry = TemporaryItem {
                            item: *item,
                            count: 0,
                            off: Vec::new(),
                        };
                        (0, entry)
                    });
                    *on = on.saturating_add(count.unwrap_or(qty)).min(qty);
                    entry.count = entry.count.max(*on);
                    entry.off.clear();
                }
                ActKind::Remove(Item::Temporary(item), count) => {
                    if let Some((on, entry)) = temporary.get_mut(item) {
                        *on = on.saturating_sub(count.unwrap_or(*on));
                        entry.off.push(at);
                    }
                }
                ActKind::Torque(torque) => {
                    torques.insert(*torque, FinalTorque { torque: *torque, at });
                }
                ActKind::Hold(hold) => holds.push(Hold { hold: *hold, at }),
                ActKind::Snug(_)
                | ActKind::Loosen(_)
                | ActKind::Measure(..)
                | ActKind::Fit(..)
                | ActKind::Remove(..)
                | ActKind::Use(..)
                | ActKind::Need(..)
                | ActKind::Set(..)
                | ActKind::Do(_)
                | ActKind::Start(_)
                | ActKind::End(_)
                | ActKind::Label(_)
                | ActKind::Step { .. }
                | ActKind::See(_)
                | ActKind::Time(_)
                | ActKind::Only
                | ActKind::Wait(_)
                | ActKind::Mark(_)
                | ActKind::Each
                | ActKind::If(_)
                | ActKind::Repeat(_)
                | ActKind::Stop => {}
            }
        }
    }
    let temporary = temporary.into_values().map(|(on, mut entry)| {
        if on > 0 {
            entry.off.clear();
        }
        entry
    });
    CloseOut {
        temporary: temporary.collect(),
        torques: torques.into_values().collect(),
        holds,
    }
}
