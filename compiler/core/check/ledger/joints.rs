//! Consumables that harden: the joint is closed in its open time, and nothing serves before the cure is up.
//!
//! Which timer times which bead is not written anywhere, so any timer of a fit length counts: a window no longer than the open time that
//! runs where the consumable is used, and a wait no shorter than the cure that starts in that step or later.

use super::cell::{Cell, Explorer};
use super::fault::{How, Since, Wrong};
use crate::check::walk::{Event, Flow, OnTimer, Stop, What};
use crate::domain::timer::Duration;
use crate::model::registers::{self, Consumable, Timer};
use crate::model::{Handle, Set, Thing};
use crate::source::Span;
use std::collections::BTreeSet;

/// Waits for a cure: true while a use has not been followed by a wait that is long enough.
struct Cure {
    consumable: Handle<Consumable>,
}

enum CureWhat {
    Use,
    Wait,
}

impl Cell for Cure {
    type State = bool;
    type What = CureWhat;

    fn start(&self) -> bool {
        false
    }

    fn step(&self, _pending: &bool, what: &CureWhat, _wrong: &mut Vec<Wrong>) -> bool {
        matches!(what, CureWhat::Use)
    }

    fn finish(&self, pending: &bool, wrong: &mut Vec<Wrong>) {
        if *pending {
            wrong.push(Wrong::CureNotTimed {
                consumable: self.consumable,
            });
        }
    }

    fn origin(&self, past: &[&Event<CureWhat>], _wrong: &Wrong) -> Option<Since> {
        let used = past.iter().rev().find(|e| matches!(e.what, CureWhat::Use))?;
        Some(Since {
            at: used.at,
            how: How::Used,
        })
    }
}

/// Which windows run that are short enough for an open time.
struct Open {
    consumable: Handle<Consumable>,
}

enum OpenWhat {
    Start(Handle<Timer>),
    Use,
    End(Handle<Timer>),
}

impl Cell for Open {
    type State = BTreeSet<Handle<Timer>>;
    type What = OpenWhat;

    fn start(&self) -> Self::State {
        BTreeSet::new()
    }

    fn step(&self, running: &Self::State, what: &OpenWhat, wrong: &mut Vec<Wrong>) -> Self::State {
        let mut running = running.clone();
        match what {
            OpenWhat::Start(timer) => {
                running.insert(*timer);
            }
            OpenWhat::End(timer) => {
                running.remove(timer);
            }
            OpenWhat::Use => {
                if running.is_empty() {
                    wrong.push(Wrong::OpenNotTimed {
                        consumable: self.consumable,
                    });
                }
            }
        }
        running
    }

    fn origin(&self, _past: &[&Event<OpenWhat>], _wrong: &Wrong) -> Option<Since> {
        None
    }
}

/// Follows every consumable that hardens.
pub(super) fn explore(set: &Set, flow: &Flow, explorer: &mut Explorer) {
    for (consumable, def) in set.catalogue.consumables.iter() {
        let declared = (def.id.span, def.id.text.as_str());
        if let Some(cure) = &def.value.cure {
            // Each use is a joint of its own.
            for at in uses(flow, consumable) {
                let events = cure_events(set, flow, at, &cure.value);
                explorer.explore(&Cure { consumable }, declared, &events);
            }
        }
        if let Some(open) = &def.value.open {
            let events = open_events(set, flow, consumable, &open.value);
            explorer.explore(&Open { consumable }, declared, &events);
        }
    }
}

fn is_use(event: &Event, consumable: Handle<Consumable>) -> bool {
    matches!(event.what, What::Use(Thing::Consumable(used), _) if used == consumable)
}

/// Where a consumable is used: the first mark of each step that does.
fn uses(flow: &Flow, consumable: Handle<Consumable>) -> Vec<Span> {
    let first = |stop: &Stop| Some(stop.events.iter().find(|event| is_use(event, consumable))?.at);
    flow.stops.iter().filter_map(first).collect()
}

/// The use at a place, and every wait that is long enough from that step on. A wait that is marked in the step of the use is meant to
/// follow it, wherever in the sentence it stands.
fn cure_events<'a>(set: &Set, flow: &Flow<'a>, used: Span, cure: &Duration) -> Vec<Event<'a, CureWhat>> {
    let long_enough = |timer: Handle<Timer>| match &set.catalogue.timers[timer].span {
        Some(registers::Span::AtLeast(wait)) => wait.value >= *cure,
        Some(registers::Span::Within(_)) | None => false,
    };
    let here = |stop: &&Stop| stop.events.iter().any(|event| event.at == used);
    let from_here = flow
        .stops
        .iter()
        .skip_while(|stop| !here(stop))
        .flat_map(|stop| &stop.events);
    let mut events = Vec::new();
    for event in from_here {
        if event.at == used {
            events.insert(0, event.with(CureWhat::Use));
        } else if let What::Timer(timer, OnTimer::Start) = event.what
            && long_enough(timer)
        {
            events.push(event.with(CureWhat::Wait));
        }
    }
    events
}

fn open_events<'a>(
    set: &Set,
    flow: &Flow<'a>,
    consumable: Handle<Consumable>,
    open: &Duration,
) -> Vec<Event<'a, OpenWhat>> {
    let short_enough = |timer: Handle<Timer>| match &set.catalogue.timers[timer].span {
        Some(registers::Span::Within(window)) => window.value <= *open,
        Some(registers::Span::AtLeast(_)) | None => false,
    };
    let mut events = Vec::new();
    for stop in &flow.stops {
        // A window that is marked in the step of the use is meant to include it, wherever in the sentence the marks stand.
        for turn in 0..3 {
            for event in &stop.events {
                let what = if let What::Timer(timer, OnTimer::Start) = event.what
                    && turn == 0
                    && short_enough(timer)
                {
                    OpenWhat::Start(timer)
                } else if turn == 1 && is_use(event, consumable) {
                    OpenWhat::Use
                } else if let What::Timer(timer, OnTimer::End) = event.what
                    && turn == 2
                    && short_enough(timer)
                {
                    OpenWhat::End(timer)
                } else {
                    continue;
                };
                events.push(event.with(what));
            }
        }
    }
    events
}
