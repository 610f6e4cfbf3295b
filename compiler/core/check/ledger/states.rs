//! The value of every declared state, what needs it and what changes it.

use super::cell::{Cell, Explorer};
use super::fault::{How, Since, Wrong};
use crate::check::walk::event::Touched;
use crate::check::walk::{self, Event, Flow, OnState};
use crate::model::registers::{self, Action};
use crate::model::{Handle, Set};
use crate::source::Span;

struct Condition {
    state: Handle<registers::State>,
    start: Option<(usize, Span)>,
    finish: Option<usize>,
}

enum What {
    Set(usize),
    Need(usize),
    /// An action that needs the value.
    Do(Handle<Action>, usize),
}

impl Cell for Condition {
    /// `None` while nothing says what it is; a need then tells.
    type State = Option<usize>;
    type What = What;

    fn start(&self) -> Option<usize> {
        self.start.map(|(value, _)| value)
    }

    fn step(&self, value: &Option<usize>, what: &What, wrong: &mut Vec<Wrong>) -> Option<usize> {
        let state = self.state;
        let (What::Set(wanted) | What::Need(wanted) | What::Do(_, wanted)) = *what;
        if let Some(is) = value.filter(|is| *is != wanted) {
            match *what {
                What::Set(_) => {}
                What::Need(needs) => wrong.push(Wrong::NeedNotMet { state, is, needs }),
                What::Do(action, needs) => wrong.push(Wrong::WrongState {
                    action,
                    state,
                    is,
                    needs,
                }),
            }
        }
        Some(wanted)
    }

    fn finish(&self, value: &Option<usize>, wrong: &mut Vec<Wrong>) {
        if let (Some(is), Some(finish)) = (*value, self.finish)
            && is != finish
        {
            wrong.push(Wrong::WrongFinish {
                state: self.state,
                is,
                finish,
            });
        }
    }

    fn origin(&self, past: &[&Event<What>], _wrong: &Wrong) -> Option<Since> {
        let set = past.iter().rev().find(|e| matches!(e.what, What::Set(_)));
        let set = set.map(|event| Since {
            at: event.at,
            how: How::Set,
        });
        set.or_else(|| self.start.map(|(_, at)| Since { at, how: How::AtStart }))
    }
}

/// Follows every state.
pub(super) fn explore(set: &Set, flow: &Flow, explorer: &mut Explorer) {
    for (state, def) in set.catalogue.states.iter() {
        let index = |name: &crate::model::Name| {
            let value = def.value.values.iter().position(|v| v.text == name.text)?;
            Some((value, name.span))
        };
        let cell = Condition {
            state,
            start: def.value.start.as_ref().and_then(index),
            finish: def.value.finish.as_ref().and_then(index).map(|(value, _)| value),
        };
        let touching = flow.touching([Touched::State(state)]).into_iter();
        let events: Vec<Event<What>> = touching
            .filter_map(|event| {
                let walk::What::State(_, on) = event.what else {
                    return None;
                };
                Some(event.with(match on {
                    OnState::Set(value, _) => What::Set(value),
                    OnState::Need(value, None) => What::Need(value),
                    OnState::Need(value, Some(action)) => What::Do(action, value),
                }))
            })
            .collect();
        explorer.explore(&cell, (def.id.span, &def.id.text), &events);
    }
}
