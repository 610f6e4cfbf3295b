//! What a phase ends with: what went on and came off in it, and which fasteners it leaves tight or loose, counted.

use super::members;
use crate::check::walk::{Done, Happened, OnFastener, OnItem, What};
use crate::fingerprint::{Meaning, Sink, leaf};
use crate::model::registers::Torque;
use crate::model::ties::PerMember;
use crate::model::{Act, Handle, Item, Set, Step};
use crate::words::plain;
use serde::Serialize;

leaf! {
    /// Where a phase ends: a box for the look that makes sure of it.
    #[derive(Default)]
    pub struct PhaseEnd {
        /// Its steps; 0 where it is one step, whose box is enough, or where nothing went on or came off.
        exempt(Repeated) count: usize,
        says counted: Counted,
    }
}

leaf! {
    /// One thing that a phase moved, as it stands where the phase ends.
    pub struct Count {
        says how: How,
        says name: String,
        /// So many; at least 1.
        says count: usize,
    }
}

leaf! {
    /// How it stands.
    #[derive(Copy, Eq, PartialOrd, Ord)]
    #[serde(rename_all = "lowercase")]
    pub enum How {
        On,
        Tight,
        Off,
        Loose,
    }
}

/// What a phase moved, by how it stands and in the order of work. A phase that moves nothing has the code that it had before there was such a
/// field.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
#[serde(transparent)]
pub struct Counted(pub Vec<Count>);

plain!(Counted);

impl Meaning for Counted {
    fn feed(&self, sink: &mut Sink) {
        if !self.0.is_empty() {
            sink.text(stringify!(Counted));
            self.0.feed(sink);
        }
    }
}

/// What has happened so far to one thing.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Moved {
    /// How many more are on than before the phase, and what was done last, to how many.
    Item { item: Item, more: i64, last: (How, u32) },
    Fastener {
        torque: Handle<Torque>,
        how: How,
        count: u32,
    },
}

/// Counts what these steps of a phase move. What is done only where a reading is out, or a case is so, is left out: whether it was done, nobody can
/// know who counts.
pub fn of_phase(set: &Set, each: Option<PerMember>, steps: &[&Done]) -> PhaseEnd {
    // The box of a single step is enough.
    if steps.len() < 2 {
        return PhaseEnd::default();
    }
    let mut moved: Vec<Moved> = Vec::new();
    for done in steps.iter().filter(|done| !done.aside) {
        let each = done.step.each.or(each);
        for event in &done.events {
            happened(set, each, done.step, event, &mut moved);
        }
    }
    let mut rows: Vec<Count> = moved.iter().map(|moved| row(set, moved)).collect();
    rows.sort_by_key(|row| row.how);
    if rows.is_empty() {
        return PhaseEnd::default();
    }
    PhaseEnd {
        count: steps.len(),
        counted: Counted(rows),
    }
}

fn happened(set: &Set, each: Option<PerMember>, step: &Step, event: &Happened, moved: &mut Vec<Moved>) {
    match event.what {
        What::Item(item, OnItem::Fit(count)) => of_item(moved, item, How::On, count),
        What::Item(item, OnItem::Remove(count)) => of_item(moved, item, How::Off, count),
        What::Fastener(torque, on) => {
            let how = match on {
                OnFastener::Torque => How::Tight,
                OnFastener::Loosen | OnFastener::Snug => How::Loose,
            };
            let act = acts(step).find(|act| act.span == event.at.span);
            let times = act.map_or(1, |act| of_all(set, each, act));
            let count = set.catalogue.torques[torque].count().saturating_mul(times);
            of_fastener(moved, torque, how, count);
        }
        What::Item(_, OnItem::Barred(_))
        | What::State(..)
        | What::Timer(..)
        | What::Use(..)
        | What::Measure(_)
        | What::Do(_)
        | What::Hold(_)
        | What::Work(_)
        | What::Look(_)
        | What::Spread(..)
        | What::Wait(_) => {}
    }
}

fn acts(step: &Step) -> impl Iterator<Item = &Act> {
    let below = step.substeps.iter().flat_map(|sub| &sub.acts);
    step.acts.iter().chain(below)
}

/// How many members a mark of a fastener is of, those that the step is done for included.
fn of_all(set: &Set, each: Option<PerMember>, act: &Act) -> u32 {
    let members = members::of_mark(set, each, act).0.len().max(1);
    u32::try_from(members).unwrap_or(u32::MAX)
}

fn of_item(moved: &mut Vec<Moved>, item: Item, how: How, count: u32) {
    let step = match how {
        How::On | How::Tight => i64::from(count),
        How::Off | How::Loose => -i64::from(count),
    };
    let known = moved
        .iter_mut()
        .find(|moved| matches!(moved, Moved::Item { item: other, .. } if *other == item));
    if let Some(Moved::Item { more, last, .. }) = known {
        *more += step;
        *last = (how, count);
    } else {
        moved.push(Moved::Item {
            item,
            more: step,
            last: (how, count),
        });
    }
}

fn of_fastener(moved: &mut Vec<Moved>, torque: Handle<Torque>, how: How, count: u32) {
    let known = moved
        .iter_mut()
        .find(|moved| matches!(moved, Moved::Fastener { torque: other, .. } if *other == torque));
    let now = Moved::Fastener { torque, how, count };
    match known {
        Some(known) => *known = now,
        None => moved.push(now),
    }
}

fn row(set: &Set, moved: &Moved) -> Count {
    let catalogue = &set.catalogue;
    let (how, name, count) = match *moved {
        Moved::Item { item, more, last } => {
            let name = match item {
                Item::Part(part) => &catalogue.parts[part].name,
                Item::Temporary(item) => &catalogue.temporary[item].name,
            };
            // What went on and came off again is told as it was left.
            let (how, count) = match more {
                0 => last,
                more if more > 0 => (How::On, u32::try_from(more).unwrap_or(u32::MAX)),
                more => (How::Off, u32::try_from(-more).unwrap_or(u32::MAX)),
            };
            (how, name, count)
        }
        Moved::Fastener { torque, how, count } => (how, &catalogue.torques[torque].name, count),
    };
    Count {
        how,
        name: name.clone(),
        count: count.max(1) as usize,
    }
}
