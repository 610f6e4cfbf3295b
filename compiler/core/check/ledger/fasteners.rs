//! What is loose: every torque that is loosened, started by hand and tightened.

use super::cell::{Cell, Explorer};
use super::fault::{How, Since, Wrong};
use crate::check::walk::event::Touched;
use crate::check::walk::{self, Event, Flow, OnFastener};
use crate::model::registers::{Reuse, Torque};
use crate::model::{Handle, Set};

/// How fasteners sit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grip {
    Tight,
    Loose,
    /// Started by hand.
    Snug,
}

struct Fasteners {
    torque: Handle<Torque>,
    single_use: bool,
}

/// How they sit, and whether they are single-use ones that were loosened with nothing new fitted since.
type State = (Grip, bool);

enum What {
    Loosen,
    Snug,
    Torque,
    /// Some part that was not on the machine at the start goes on; it may bring new fasteners.
    NewPart,
}

impl Cell for Fasteners {
    type State = State;
    type What = What;

    fn start(&self) -> State {
        (Grip::Tight, false)
    }

    fn step(&self, &(grip, worn): &State, what: &What, wrong: &mut Vec<Wrong>) -> State {
        let torque = self.torque;
        match what {
            What::Loosen => (Grip::Loose, self.single_use),
            What::Snug => {
                if grip == Grip::Snug {
                    wrong.push(Wrong::SnuggedTwice { torque });
                }
                (Grip::Snug, worn)
            }
            What::Torque => {
                if worn {
                    wrong.push(Wrong::FastenerReused { torque });
                }
                (Grip::Tight, false)
            }
            What::NewPart => (grip, false),
        }
    }

    fn finish(&self, &(grip, _): &State, wrong: &mut Vec<Wrong>) {
        if grip != Grip::Tight {
            wrong.push(Wrong::LeftLoose {
                torque: self.torque,
                snug: grip == Grip::Snug,
            });
        }
    }

    fn origin(&self, past: &[&Event<What>], wrong: &Wrong) -> Option<Since> {
        past.iter().rev().find_map(|event| match (&event.what, wrong) {
            (What::Loosen, Wrong::FastenerReused { .. } | Wrong::LeftLoose { .. }) => Some(Since {
                at: event.at,
                how: How::Loosened,
            }),
            (What::Snug, Wrong::SnuggedTwice { .. } | Wrong::LeftLoose { .. }) => Some(Since {
                at: event.at,
                how: How::Snugged,
            }),
            _ => None,
        })
    }

    /// For fasteners that were loosened and then started by hand: where they were loosened.
    fn earlier(&self, past: &[&Event<What>], wrong: &Wrong) -> Option<Since> {
        if !matches!(wrong, Wrong::LeftLoose { snug: true, .. }) {
            return None;
        }
        let since_tight = past.iter().rev().take_while(|e| !matches!(e.what, What::Torque));
        let loosened = since_tight.filter(|e| matches!(e.what, What::Loosen)).last()?;
        Some(Since {
            at: loosened.at,
            how: How::Loosened,
        })
    }
}

/// Follows every torque that some act touches.
pub(super) fn explore(set: &Set, flow: &Flow, explorer: &mut Explorer) {
    for (torque, def) in set.catalogue.torques.iter() {
        let cell = Fasteners {
            torque,
            single_use: def.value.reuse == Reuse::No,
        };
        let what = |event: &Event| match event.what {
            walk::What::Fastener(_, OnFastener::Loosen) => Some(What::Loosen),
            walk::What::Fastener(_, OnFastener::Snug) => Some(What::Snug),
            walk::What::Fastener(_, OnFastener::Torque) => Some(What::Torque),
            what => what.fits_new(set).then_some(What::NewPart),
        };
        let touching = match cell.single_use {
            true => flow.touching_or_new(Touched::Torque(torque)),
            false => flow.touching([Touched::Torque(torque)]),
        };
        let events: Vec<Event<What>> = touching
            .into_iter()
            .filter_map(|event| Some(event.with(what(event)?)))
            .collect();
        explorer.explore(&cell, (def.id.span, &def.id.text), &events);
    }
}
