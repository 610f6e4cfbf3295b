//! Running timers, and what a window, or the open time of a consumable, meets while it runs.
//!
//! The time a window takes is the sum of the `[time …]` marks from the step that starts it to the step that ends it, both counted in
//! full, because a joint is open from the first drop to the last bolt. A wait that starts and ends inside a window counts with its
//! length, from the end of the step that starts it, if that is more than the work done meanwhile. A wait that ran before the window
//! opened counts nothing: how much of it was left is not known. A cure that `[wait …]` waits for is a wait that starts as its joint is
//! closed, or as it is used on no joint.

use super::shape::Node;
use crate::domain::timer::Duration;

/// How a timer stands.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    Idle,
    Running {
        /// Time since the start of the step that started it.
        elapsed: Duration,
        /// Waits that started meanwhile, and when.
        waits: Vec<(Node, Duration)>,
        /// A phase or card has ended meanwhile.
        broken: bool,
    },
}

/// What happens to a timer.
#[derive(Debug, Clone)]
pub enum What {
    Start,
    Stop,
    /// Work was done for so long.
    Work(Duration),
    WaitStarts(Node),
    /// The wait ends that is at least so long.
    WaitEnds(Node, Duration),
    /// A phase or card ends.
    Break,
}

impl What {
    pub fn happen(&self, state: &mut State) {
        match self {
            What::Start => *state = State::started(),
            What::Stop => *state = State::Idle,
            What::Work(time) => state.work(time),
            What::WaitStarts(wait) => state.wait_starts(*wait),
            What::WaitEnds(wait, length) => state.wait_ends(*wait, length),
            What::Break => state.break_(),
        }
    }
}

impl State {
    /// Just started.
    pub fn started() -> State {
        State::since(Duration::zero())
    }

    /// Runs for so long.
    pub fn since(elapsed: Duration) -> State {
        State::Running {
            elapsed,
            waits: Vec::new(),
            broken: false,
        }
    }

    pub fn runs(&self) -> bool {
        *self != State::Idle
    }

    fn work(&mut self, time: &Duration) {
        if let State::Running { elapsed, .. } = self {
            *elapsed = elapsed.plus(time);
        }
    }

    fn wait_starts(&mut self, wait: Node) {
        if let State::Running { elapsed, waits, .. } = self {
            waits.retain(|(w, _)| *w != wait);
            waits.push((wait, elapsed.clone()));
            waits.sort();
        }
    }

    fn wait_ends(&mut self, wait: Node, length: &Duration) {
        if let State::Running { elapsed, waits, .. } = self
            && let Some(index) = waits.iter().position(|(w, _)| *w == wait)
        {
            let (_, started) = waits.remove(index);
            *elapsed = started.plus(length).max(elapsed.clone());
        }
    }

    fn break_(&mut self) {
        if let State::Running { broken, .. } = self {
            *broken = true;
        }
    }

    pub fn is_broken(&self) -> bool {
        matches!(self, State::Running { broken: true, .. })
    }

    /// The same without the waits meanwhile, which say nothing more where it is over its limit.
    pub fn alone(self) -> State {
        match self {
            State::Running { elapsed, .. } => State::since(elapsed),
            State::Idle => State::Idle,
        }
    }

    /// How long it has run, if it runs.
    pub fn elapsed(&self) -> Option<&Duration> {
        match self {
            State::Running { elapsed, .. } => Some(elapsed),
            State::Idle => None,
        }
    }

    /// Past its limit a window only gets later.
    pub fn merged(self, within: Option<&Duration>) -> State {
        match (self, within) {
            (State::Running { elapsed, broken, .. }, Some(within)) if elapsed > *within => State::Running {
                elapsed: within.plus(&Duration::of_seconds(1.into())),
                waits: Vec::new(),
                broken,
            },
            (state, _) => state,
        }
    }
}
