//! One way to have done some blocks, how it may go on, and what it leaves to do.

use super::{Problem, Sittings};
use std::collections::{BTreeMap, BTreeSet};

/// One way to have done some blocks.
#[derive(Debug, Clone)]
pub(super) struct Way {
    /// When the hands are free, and the sitting that was.
    pub(super) now: u64,
    pub(super) sitting: Option<u64>,
    /// Sittings begun.
    pub(super) used: u64,
    /// Blocks not done that a running wait holds back, and until when.
    pub(super) held: BTreeMap<usize, u64>,
    /// The step that led here, in the list of all.
    pub(super) last: Option<usize>,
}

impl Way {
    /// True if this way is in no respect worse than another with the same blocks done.
    pub(super) fn as_good(&self, other: &Way) -> bool {
        // Whoever is free earlier may still have to begin the sitting that the other is in already.
        let used = self.used + u64::from(self.sitting != other.sitting);
        let sooner = |(block, until): (&usize, &u64)| other.held.get(block).is_some_and(|o| until <= o);
        self.now <= other.now && used <= other.used && self.held.iter().all(|(b, u)| *u <= other.now || sooner((b, u)))
    }
}

/// Work that is not done.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Left {
    /// Of blocks that go into a sitting.
    short: u64,
    /// Blocks that are longer than a sitting.
    long: u64,
}

impl Left {
    pub(super) fn without(mut self, block: usize, problem: &Problem) -> Left {
        let length = problem.lengths.get(block).copied().unwrap_or(0);
        match problem.sittings.length.is_some_and(|sitting| length > sitting) {
            true => self.long -= 1,
            false => self.short -= length,
        }
        self
    }

    /// Sittings that it takes at least, besides the one that a way is in.
    pub(super) fn sittings(self, way: &Way, problem: &Problem) -> u64 {
        let Sittings {
            length: Some(length),
            every,
        } = problem.sittings
        else {
            return 0;
        };
        let room = way.sitting.map_or(0, |n| (n * every + length).saturating_sub(way.now));
        // Where nothing but what takes no time has been done in a sitting, one that is longer may still begin it.
        let begins = way.sitting.is_some_and(|n| n * every == way.now);
        let long = self.long.saturating_sub(u64::from(begins));
        long + self.short.saturating_sub(room).div_ceil(length.max(1))
    }
}

impl Problem {
    /// By block, its chain and its place in it.
    pub(super) fn places(&self) -> Vec<(usize, usize)> {
        let mut places = vec![(0, 0); self.lengths.len()];
        for (chain, blocks) in self.chains.iter().enumerate() {
            for (n, block) in blocks.iter().enumerate() {
                if let Some(place) = places.get_mut(*block) {
                    *place = (chain, n);
                }
            }
        }
        places
    }

    /// True if everything that comes before a block is done.
    pub(super) fn ready(&self, block: usize, done: &[usize], places: &[(usize, usize)]) -> bool {
        let is_done = |other: &usize| {
            let place = places.get(*other);
            place.is_some_and(|(chain, n)| done.get(*chain).is_some_and(|done| done > n))
        };
        self.after.get(block).is_none_or(|after| after.iter().all(is_done))
    }

    pub(super) fn left(&self, done: &[usize]) -> Left {
        let mut left = Left::default();
        for (blocks, done) in self.chains.iter().zip(done) {
            for block in blocks.iter().skip(*done) {
                let length = self.lengths.get(*block).copied().unwrap_or(0);
                match self.sittings.length.is_some_and(|sitting| length > sitting) {
                    true => left.long += 1,
                    false => left.short += length,
                }
            }
        }
        left
    }

    /// When a block can begin at the soonest, and in no sitting before the one that starts at `from`.
    pub(super) fn begin(&self, way: &Way, block: usize, from: u64) -> u64 {
        let length = self.lengths.get(block).copied().unwrap_or(0);
        let held = way.held.get(&block).copied().unwrap_or(0);
        self.sittings.fit(from.max(way.now).max(held), length)
    }

    pub(super) fn soonest(&self, way: &Way, block: usize) -> u64 {
        self.begin(way, block, 0)
    }

    /// When a block may begin: as soon as it can be, or with a sitting in which a wait is up, or the one after that.
    pub(super) fn later(&self, way: &Way, block: usize) -> BTreeSet<u64> {
        let every = self.sittings.every;
        let turns = way.held.values().chain([&way.now]).map(|at| at / every);
        let sittings = turns.flat_map(|n| [n, n + 1]).map(|n| n.saturating_mul(every));
        let put_off = sittings.map(|from| self.begin(way, block, from));
        put_off.chain([self.soonest(way, block)]).collect()
    }

    pub(super) fn follow(
        &self,
        way: &Way,
        block: usize,
        start: u64,
        steps: &mut Vec<(Option<usize>, usize, u64)>,
    ) -> Way {
        let length = self.lengths.get(block).copied().unwrap_or(0);
        let sitting = self.sittings.number(start);
        let mut held = way.held.clone();
        held.remove(&block);
        for wait in self.waits.iter().filter(|w| w.from == block) {
            let until = (start + wait.from_offset + wait.length).saturating_sub(wait.to_offset);
            let entry = held.entry(wait.to).or_insert(until);
            *entry = until.max(*entry);
        }
        steps.push((way.last, block, start));
        Way {
            now: start.saturating_add(length),
            used: way.used + u64::from(way.sitting != Some(sitting)),
            sitting: Some(sitting),
            held,
            last: Some(steps.len() - 1),
        }
    }
}
