//! A set cut into blocks: the work between two safe stopping points, with what it takes and what it waits for.

use super::cells::{Touched, conflict, touch};
use super::pack::Lag;
use super::seconds;
use crate::check::calc::CalcFacts;
use crate::check::ledger::carried;
use crate::check::machine;
use crate::check::walk::{Done, Flow, OnTimer, What, play};
use crate::domain::timer::Duration;
use crate::model::registers::{Consumable, Span, Timer};
use crate::model::{Choices, Handle, ProcedureId, Set, StepNumber};
use std::collections::{BTreeMap, BTreeSet};

/// One step in a block; times in seconds from the start of the block.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    pub procedure: ProcedureId,
    pub number: StepNumber,
    pub offset: u64,
    /// Hands-on.
    pub length: u64,
}

/// Work that is not interrupted.
#[derive(Debug, Default)]
pub struct Block {
    /// At least one.
    pub steps: Vec<Placed>,
    /// Seconds, waits inside included.
    pub length: u64,
    touched: Touched,
    /// What it touches of how the machine is built.
    machine: machine::Touches,
    /// Waits that start and end inside: positions of the steps, seconds.
    inner: Vec<(usize, usize, u64)>,
}

impl Block {
    /// The steps of each card in turn.
    pub fn by_procedure(&self) -> impl Iterator<Item = (ProcedureId, &[Placed])> {
        let parts = self.steps.chunk_by(|a, b| a.procedure == b.procedure);
        parts.filter_map(|steps| Some((steps.first()?.procedure, steps)))
    }

    /// Places the steps one after the other, each wait inside waited out.
    fn lay_out(&mut self) {
        let mut now = 0;
        let mut ends: Vec<u64> = Vec::with_capacity(self.steps.len());
        for (index, step) in self.steps.iter_mut().enumerate() {
            for (from, to, length) in self.inner.iter().filter(|(_, to, _)| *to == index) {
                if from == to {
                    // A step that starts and ends a wait lasts as long as it.
                    step.length = step.length.max(*length);
                } else if let Some(started) = ends.get(*from) {
                    now = now.max(started + length);
                }
            }
            step.offset = now;
            now += step.length;
            ends.push(now);
        }
        self.length = now;
    }
}

/// What a wait is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Waited {
    Timer(Handle<Timer>),
    /// Until it has cured.
    Cure(Handle<Consumable>),
}

impl Waited {
    /// Its id, and what is waited for in words.
    pub fn words(self, set: &Set) -> (&str, &str) {
        match self {
            Waited::Timer(timer) => {
                let def = set.catalogue.timers.get(timer);
                (&def.id.text, &def.value.what)
            }
            Waited::Cure(consumable) => {
                let def = set.catalogue.consumables.get(consumable);
                (&def.id.text, &def.value.name)
            }
        }
    }
}

/// A wait from one block to another.
#[derive(Debug, Clone, Copy)]
pub struct BlockWait {
    pub what: Waited,
    pub lag: Lag,
}

/// A set as blocks.
#[derive(Debug, Default)]
pub struct Blocks {
    /// In the set's order, so that each comes after what it waits for.
    pub all: Vec<Block>,
    pub chains: Vec<Vec<usize>>,
    pub after: Vec<Vec<usize>>,
    pub waits: Vec<BlockWait>,
    /// Steps that say no time.
    pub unstated: usize,
    hands_on: u64,
}

impl Blocks {
    /// Sum of the hands-on times, in seconds.
    pub fn hands_on(&self) -> u64 {
        self.hands_on
    }
}

/// The first and last block of each procedure that has one.
type Ends = BTreeMap<ProcedureId, (usize, usize)>;

/// Where a step is: its block, and its position in it.
type At = (usize, usize);

/// The blocks of a set for some choices; `unstated` is the time of a step that says none.
pub fn blocks(set: &Set, facts: &CalcFacts, choices: &Choices, unstated: &Duration) -> Blocks {
    let mut blocks = Blocks::default();
    // Where each step went.
    let mut placed: BTreeMap<(ProcedureId, StepNumber), At> = BTreeMap::new();
    let mut waits: Vec<(Waited, At, At, u64)> = Vec::new();
    let mut ends: Ends = BTreeMap::new();
    let mut open = false;
    let flow = Flow::new(set);
    let touches = machine::touches(&flow, facts);
    let played = play(&flow, choices);
    for ((procedure, steps), carried) in played.cards.named().zip(&carried(&played)) {
        let mut first = true;
        for (done, gap) in steps.iter().zip(&carried.gaps) {
            if !open {
                let block = blocks.all.len();
                blocks.all.push(Block::default());
                match blocks.chains.last_mut().filter(|_| !first) {
                    Some(chain) => chain.push(block),
                    None => blocks.chains.push(vec![block]),
                }
            }
            first = false;
            let length = blocks.time(done, unstated);
            let Some((number, block)) = blocks.all.iter_mut().enumerate().next_back() else {
                continue;
            };
            ends.entry(procedure).or_insert((number, number)).1 = number;
            let at = (number, block.steps.len());
            placed.insert((procedure, done.step.number), at);
            if let Some(touches) = touches.get(&(procedure, done.step.number)) {
                block.machine.extend(touches.clone());
            }
            block.steps.push(Placed {
                procedure,
                number: done.step.number,
                offset: 0,
                length,
            });
            for event in &done.events {
                touch(set, &facts.calcs, &event.what, &mut block.touched);
                if let Some((what, length)) = wait(set, &event.what)
                    && let Some(start) = event.started.and_then(|at| placed.get(&(at.procedure, at.step)))
                {
                    waits.push((what, *start, at, length));
                }
            }
            open = !gap.is_safe();
        }
    }
    blocks.settle(&waits);
    blocks.order(set, &ends);
    blocks
}

/// The wait that an event ends, and its seconds; `None` if it ends none.
fn wait(set: &Set, what: &What) -> Option<(Waited, u64)> {
    match *what {
        What::Timer(timer, OnTimer::End) => match &set.catalogue.timers[timer].span {
            Some(Span::AtLeast(length)) => Some((Waited::Timer(timer), seconds(&length.value))),
            Some(Span::Within(_)) | None => None,
        },
        What::Wait(consumable) => {
            let cure = set.catalogue.consumables[consumable].cure.as_ref()?;
            Some((Waited::Cure(consumable), seconds(&cure.value)))
        }
        What::Timer(_, OnTimer::Start)
        | What::Item(..)
        | What::Fastener(..)
        | What::State(..)
        | What::Use(..)
        | What::Measure(_)
        | What::Do(_)
        | What::Hold(_)
        | What::Work(_)
        | What::Look(_)
        | What::Spread(..) => None,
    }
}

impl Blocks {
    fn time(&mut self, done: &Done, unstated: &Duration) -> u64 {
        let times = done.events.iter().filter_map(|event| {
            let What::Work(time) = event.what else { return None };
            Some(seconds(time))
        });
        let stated = times.reduce(|a, b| a + b);
        self.unstated += usize::from(stated.is_none());
        let length = stated.unwrap_or_else(|| seconds(unstated));
        self.hands_on += length;
        length
    }

    /// Shares out the waits and places the steps of every block.
    fn settle(&mut self, waits: &[(Waited, At, At, u64)]) {
        for (_, from, to, length) in waits.iter().filter(|(_, from, to, _)| from.0 == to.0) {
            if let Some(block) = self.all.get_mut(from.0) {
                block.inner.push((from.1, to.1, *length));
            }
        }
        self.all.iter_mut().for_each(Block::lay_out);
        for (what, from, to, length) in waits.iter().filter(|(_, from, to, _)| from.0 != to.0) {
            let (Some(start), Some(end)) = (self.step(*from), self.step(*to)) else {
                continue;
            };
            let lag = Lag {
                from: from.0,
                from_offset: start.offset + start.length,
                to: to.0,
                to_offset: end.offset,
                length: *length,
            };
            self.waits.push(BlockWait { what: *what, lag });
        }
    }

    fn step(&self, (block, place): At) -> Option<&Placed> {
        self.all.get(block)?.steps.get(place)
    }

    /// Which blocks of other chains come before each.
    fn order(&mut self, set: &Set, ends: &Ends) {
        // Blocks are numbered chain by chain.
        let chains = self.chains.iter().enumerate();
        let chain_of = chains.flat_map(|(chain, blocks)| std::iter::repeat_n(chain, blocks.len()));
        let all: Vec<(usize, &Block)> = chain_of.zip(&self.all).collect();
        let held_by = |(later, (chain, other)): (usize, &(usize, &Block))| {
            let before = all.iter().enumerate().take(later);
            let held = before.filter(|(_, (of, one))| {
                of != chain && (conflict(&one.touched, &other.touched) || one.machine.bears_on(&other.machine))
            });
            held.map(|(b, _)| b).collect()
        };
        self.after = all.iter().enumerate().map(held_by).collect();
        for (procedure, (first, _)) in ends {
            if let Some(after) = self.after.get_mut(*first) {
                let before = before(set, *procedure, ends).into_iter();
                after.extend(before.filter(|last| last < first));
            }
        }
        for wait in &self.waits {
            if let Some(after) = self.after.get_mut(wait.lag.to) {
                after.push(wait.lag.from);
            }
        }
    }
}

/// Last blocks of the procedures that come before one; through those that these choices leave without a step.
fn before(set: &Set, procedure: ProcedureId, ends: &Ends) -> Vec<usize> {
    let mut found = Vec::new();
    let mut seen = BTreeSet::new();
    let mut open = set.procedures[procedure].after.clone();
    while let Some(next) = open.pop() {
        if !seen.insert(next) {
            continue;
        }
        match ends.get(&next) {
            Some((_, last)) => found.push(*last),
            None => open.extend(&set.procedures[next].after),
        }
    }
    found
}
