//! What the close-out card ticks: every temporary item off, every fastener tight, every hold initialled.

use crate::check::walk::{OnFastener, OnItem, Place, Played, What};
use crate::model::registers::{self, Temporary, Torque};
use crate::model::{Handle, Item};
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

/// What is ticked at the end of a set.
pub fn close_out(played: &Played) -> CloseOut {
    let mut temporary: BTreeMap<Handle<Temporary>, (u32, TemporaryItem)> = BTreeMap::new();
    let mut torques = BTreeMap::new();
    let mut holds = Vec::new();
    for event in played.usual() {
        let at = event.at;
        match event.what {
            What::Item(Item::Temporary(item), OnItem::Fit(_)) => {
                let (on, entry) = temporary.entry(item).or_insert_with(|| {
                    let entry = TemporaryItem {
                        item,
                        count: 0,
                        off: Vec::new(),
                    };
                    (0, entry)
                });
                *on = event.on;
                entry.count = entry.count.max(event.on);
                entry.off.clear();
            }
            What::Item(Item::Temporary(item), OnItem::Remove(_)) => {
                if let Some((on, entry)) = temporary.get_mut(&item) {
                    *on = event.on;
                    entry.off.push(at);
                }
            }
            What::Fastener(torque, OnFastener::Torque) => {
                torques.insert(torque, FinalTorque { torque, at });
            }
            What::Hold(hold) => holds.push(Hold { hold, at }),
            What::Item(Item::Temporary(_), OnItem::Barred(_))
            | What::Item(Item::Part(_), _)
            | What::Fastener(_, OnFastener::Loosen | OnFastener::Snug)
            | What::State(..)
            | What::Timer(..)
            | What::Use(..)
            | What::Measure(_)
            | What::Do(_)
            | What::Work(_)
            | What::Look(_)
            | What::Spread(..)
            | What::Wait(_) => {}
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
