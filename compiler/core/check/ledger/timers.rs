//! Running timers, and what a window meets while it runs.
//!
//! The time a window takes is the sum of the `[time …]` marks from the step that starts it to the step that ends it, both counted in
//! full, because a joint is open from the first drop to the last bolt. A wait that starts and ends inside a window counts with its
//! length, from the end of the step that starts it, if that is more than the work done meanwhile. A wait that ran before the window opened counts nothing: how much of it was left
//! is not known.

use super::cell::{Cell, Explorer};
use super::fault::{How, Since, Wrong};
use crate::check::walk::event::Touched;
use crate::check::walk::flow::Begins;
use crate::check::walk::guard::Guard;
use crate::check::walk::{self, Event, Flow, OnTimer, Stop};
use crate::domain::timer::Duration;
use crate::model::registers::{self, Hold, Timer};
use crate::model::{Handle, Set};
use crate::source::Span;

struct Clock {
    timer: Handle<Timer>,
    /// How long a window is; a wait has no limit.
    within: Option<Duration>,
}

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum State {
    Idle,
    Running {
        /// Time since the start of the step that started it.
        elapsed: Duration,
        /// Waits that started meanwhile, and when.
        waits: Vec<(Handle<Timer>, Duration)>,
        /// A phase or card has ended meanwhile.
        broken: bool,
    },
}

enum What {
    Start,
    End,
    /// Work of the step.
    Work(Duration),
    WaitStarts(Handle<Timer>),
    /// The wait ends that is at least so long.
    WaitEnds(Handle<Timer>, Duration),
    Hold(Handle<Hold>),
    Break(Begins),
}

impl Cell for Clock {
    type State = State;
    type What = What;

    fn start(&self) -> State {
        State::Idle
    }

    fn step(&self, state: &State, what: &What, wrong: &mut Vec<Wrong>) -> State {
        let timer = self.timer;
        let mut next = state.clone();
        match (what, &mut next) {
            (What::Start, state) => {
                if *state != State::Idle {
                    wrong.push(Wrong::StartedTwice { timer });
                }
                return State::Running {
                    elapsed: Duration::zero(),
                    waits: Vec::new(),
                    broken: false,
                };
            }
            (What::End, State::Idle) => wrong.push(Wrong::NotStarted { timer }),
            (What::End, State::Running { elapsed, .. }) => {
                if self.within.as_ref().is_some_and(|within| *elapsed > *within) {
                    wrong.push(Wrong::Overrun {
                        timer,
                        takes: elapsed.clone(),
                    });
                }
                return State::Idle;
            }
            (_, State::Idle) => {}
            (What::Work(time), State::Running { elapsed, .. }) => *elapsed = elapsed.plus(time),
            (What::WaitStarts(wait), State::Running { elapsed, waits, .. }) => {
                waits.retain(|(w, _)| w != wait);
                waits.push((*wait, elapsed.clone()));
                waits.sort();
            }
            (What::WaitEnds(wait, length), State::Running { elapsed, waits, .. }) => {
                if let Some(index) = waits.iter().position(|(w, _)| w == wait) {
                    let (_, started) = waits.remove(index);
                    *elapsed = started.plus(length).max(elapsed.clone());
                }
            }
            (What::Hold(hold), State::Running { .. }) => wrong.push(Wrong::HoldInWindow { timer, hold: *hold }),
            (What::Break(begins), State::Running { broken, .. }) => {
                if !*broken {
                    let card = *begins == Begins::Procedure;
                    wrong.push(Wrong::BreakInWindow { timer, card });
                }
                *broken = true;
            }
        }
        next
    }

    /// Past its limit a window only gets later.
    fn merged(&self, state: State) -> State {
        match (state, &self.within) {
            (State::Running { elapsed, broken, .. }, Some(within)) if elapsed > *within => State::Running {
                elapsed: within.plus(&Duration::of_seconds(1.into())),
                waits: Vec::new(),
                broken,
            },
            (state, _) => state,
        }
    }

    fn finish(&self, state: &State, wrong: &mut Vec<Wrong>) {
        if *state != State::Idle {
            wrong.push(Wrong::NeverEnded { timer: self.timer });
        }
    }

    fn origin(&self, past: &[&Event<What>], wrong: &Wrong) -> Option<Since> {
        let started = past.iter().rev().find(|e| matches!(e.what, What::Start))?;
        let idle = matches!(wrong, Wrong::NotStarted { .. });
        (!idle).then_some(Since {
            at: started.at,
            how: How::Started,
        })
    }
}

/// Follows every timer that some act starts or ends.
pub(super) fn explore(set: &Set, flow: &Flow, explorer: &mut Explorer) {
    for (timer, def) in set.catalogue.timers.iter() {
        let within = match &def.value.span {
            Some(registers::Span::Within(within)) => Some(within.value.clone()),
            Some(registers::Span::AtLeast(_)) | None => None,
        };
        let cell = Clock { timer, within };
        let mut events = Events {
            set,
            timer,
            window: cell.within.is_some(),
            list: Vec::new(),
        };
        for stop in flow.since_touched(Touched::Timer(timer)) {
            events.stop(flow, stop);
        }
        explorer.explore(&cell, (def.id.span, &def.id.text), &events.list);
    }
}

/// Collects what happens to one timer.
struct Events<'a> {
    set: &'a Set,
    timer: Handle<Timer>,
    window: bool,
    list: Vec<Event<'a, What>>,
}

impl<'a> Events<'a> {
    fn push(&mut self, guard: Guard, at: Span, what: What) {
        self.list.push(Event {
            guard,
            only: &[],
            at,
            what,
        });
    }

    fn stop(&mut self, flow: &Flow<'a>, stop: &Stop<'a>) {
        if let Some(begins) = stop.begins.filter(|_| self.window) {
            // Steps before the first heading have no heading to point at.
            let at = if stop.phase.title.is_empty() {
                stop.step.span
            } else {
                stop.phase.span
            };
            self.push(flow.phase_guard(stop), at, What::Break(begins));
        }
        self.work(stop, None);
        for event in &stop.events {
            match event.what {
                walk::What::Timer(timer, on) if timer == self.timer => self.own(stop, event, on),
                walk::What::Timer(timer, on) => self.other(event, timer, on),
                walk::What::Hold(hold) if self.window => self.list.push(event.with(What::Hold(hold))),
                walk::What::Item(..)
                | walk::What::Fastener(..)
                | walk::What::State(..)
                | walk::What::Use(..)
                | walk::What::Measure(_)
                | walk::What::Do(_)
                | walk::What::Hold(_)
                | walk::What::Work(_) => {}
            }
        }
    }

    fn own(&mut self, stop: &Stop<'a>, event: &Event<'a>, on: OnTimer) {
        match on {
            OnTimer::Start => {
                self.list.push(event.with(What::Start));
                self.work(stop, Some(&event.guard));
            }
            OnTimer::End => self.list.push(event.with(What::End)),
        }
    }

    /// A wait that starts or ends, which a window that runs meanwhile has to wait for.
    fn other(&mut self, event: &Event<'a>, timer: Handle<Timer>, on: OnTimer) {
        let wait = self.wait(timer).filter(|_| self.window);
        let what = wait.map(|length| match on {
            OnTimer::Start => What::WaitStarts(timer),
            OnTimer::End => What::WaitEnds(timer, length),
        });
        self.list.extend(what.map(|what| event.with(what)));
    }

    /// The work of a step: before what is marked in it for a window that runs already, after its start for one that starts in it.
    fn work(&mut self, stop: &Stop, started: Option<&Guard>) {
        if !self.window {
            return;
        }
        for event in &stop.events {
            if let walk::What::Work(time) = event.what {
                let guard = started.map_or_else(|| event.guard.clone(), |s| event.guard.and_guard(s));
                self.push(guard, event.at, What::Work(time.clone()));
            }
        }
    }

    /// How long a timer is, if it is a wait.
    fn wait(&self, timer: Handle<Timer>) -> Option<Duration> {
        match &self.set.catalogue.timers[timer].span {
            Some(registers::Span::AtLeast(length)) => Some(length.value.clone()),
            Some(registers::Span::Within(_)) | None => None,
        }
    }
}
