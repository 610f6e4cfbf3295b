//! Which block when: blocks of work in chains, one at a time, with waits between them and sittings to fit into. Pure arithmetic, in
//! whole seconds.
//!
//! A block once begun is done to its end. Two searches, each layer by layer, one more block done in each, keeping of two ways to have
//! done the same blocks only the one that is in no way worse:
//!
//! 1. Each block begun as early as it can be: no other way ends sooner, so only orders are searched.
//! 2. Blocks also put off to a later sitting, where that ends as soon and takes fewer sittings. A sitting that holds no more than
//!    it must can be brought forward until its work meets the end of what went before, or a wait: only these are tried.
//!
//! Where more ways than [`WIDEST`] are left in a layer, the earliest are kept and the plan says that it may not be the best.

#[cfg(test)]
mod tests;
mod way;

use std::collections::BTreeMap;
use way::Way;

/// A start-to-start lag: `to` starts no earlier than `from` + `from_offset` + `length` − `to_offset`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lag {
    pub from: usize,
    /// From the start of the block to the start of the wait.
    pub from_offset: u64,
    pub to: usize,
    /// From the start of the block to where the wait must be up.
    pub to_offset: u64,
    pub length: u64,
}

/// When work is done at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sittings {
    /// `None`: without end.
    pub length: Option<u64>,
    /// From one's start to the next's; above zero.
    pub every: u64,
}

impl Sittings {
    /// The earliest start, from `from` on, of a block that long. One longer than a sitting begins a sitting and runs over.
    pub fn fit(&self, from: u64, block: u64) -> u64 {
        let Some(length) = self.length else { return from };
        let into = from % self.every;
        let fits = into.saturating_add(block) <= length.max(1) && into < length.max(1);
        let long = block > length && into == 0;
        match fits || long {
            true => from,
            false => (from / self.every + 1).saturating_mul(self.every),
        }
    }

    /// The sitting that a moment lies in, from 0.
    pub fn number(&self, at: u64) -> u64 {
        self.length.map_or(0, |_| at / self.every)
    }
}

/// What is to be packed. Blocks are numbered so that each comes after those it waits for.
#[derive(Debug, Clone)]
pub struct Problem {
    pub lengths: Vec<u64>,
    /// Blocks that are done in this order; each block in one chain.
    pub chains: Vec<Vec<usize>>,
    /// By block, those of other chains that come before it.
    pub after: Vec<Vec<usize>>,
    pub waits: Vec<Lag>,
    pub sittings: Sittings,
}

/// Blocks with their starts, in the order of work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Schedule {
    pub starts: Vec<(usize, u64)>,
    pub optimal: bool,
}

impl Schedule {
    pub fn start(&self, block: usize) -> Option<u64> {
        self.starts.iter().find(|(b, _)| *b == block).map(|(_, start)| *start)
    }

    /// When the last block is done.
    pub fn end(&self, problem: &Problem) -> u64 {
        let end = |(block, start): &(usize, u64)| start + problem.lengths.get(*block).copied().unwrap_or(0);
        self.starts.iter().map(end).max().unwrap_or(0)
    }
}

/// Ways kept in one layer, at most and at least; between them as many as keep the whole search short.
pub const WIDEST: usize = 4000;
const NARROWEST: usize = 40;
/// Ways followed in all, about.
const WORK: usize = 400_000;

/// Packs the blocks so that the last is done as early as can be, in as few sittings as that allows.
pub fn pack(problem: &Problem) -> Schedule {
    let soonest = search(problem, None);
    if problem.sittings.length.is_none() {
        return soonest.schedule;
    }
    let fewest = search(problem, Some((soonest.now, soonest.used)));
    Schedule {
        optimal: soonest.schedule.optimal && fewest.schedule.optimal,
        ..if fewest.schedule.starts.is_empty() {
            soonest
        } else {
            fewest
        }
        .schedule
    }
}

/// The best that one search came to.
struct Found {
    /// Without blocks if nothing is good enough.
    schedule: Schedule,
    now: u64,
    used: u64,
}

/// The best way; to `beat` an end and a number of sittings, one that ends no later and has fewer, with work put off where that may help.
fn search(problem: &Problem, beat: Option<(u64, u64)>) -> Found {
    // The step that led to each way: the way before it, the block, its start.
    let mut steps: Vec<(Option<usize>, usize, u64)> = Vec::new();
    let mut optimal = true;
    let first = Way {
        now: 0,
        sitting: None,
        used: 0,
        held: BTreeMap::new(),
        last: None,
    };
    let mut layer: BTreeMap<Vec<usize>, Vec<Way>> = BTreeMap::from([(vec![0; problem.chains.len()], vec![first])]);
    let count = problem.chains.iter().map(Vec::len).sum::<usize>();
    let widest = (WORK / (count * problem.chains.len()).max(1)).clamp(NARROWEST, WIDEST);
    let places = problem.places();
    for _ in 0..count {
        let mut next: BTreeMap<Vec<usize>, Vec<Way>> = BTreeMap::new();
        for (done, ways) in &layer {
            let left = problem.left(done);
            for (chain, (blocks, so_far)) in problem.chains.iter().zip(done).enumerate() {
                let Some(&block) = blocks.get(*so_far).filter(|b| problem.ready(**b, done, &places)) else {
                    continue;
                };
                let counts = done.iter().enumerate();
                let after = counts.map(|(n, count)| count + usize::from(n == chain)).collect();
                let list = next.entry(after).or_default();
                for way in ways {
                    match beat {
                        None => keep(
                            list,
                            problem.follow(way, block, problem.soonest(way, block), &mut steps),
                        ),
                        Some((end, used)) => {
                            for start in problem.later(way, block) {
                                let found = problem.follow(way, block, start, &mut steps);
                                let rest = left.without(block, problem);
                                if found.now <= end && found.used + rest.sittings(&found, problem) < used {
                                    keep(list, found);
                                }
                            }
                        }
                    }
                }
            }
        }
        next.retain(|_, ways| !ways.is_empty());
        optimal &= narrow(&mut next, widest);
        layer = next;
    }
    let best = layer.into_values().flatten().min_by_key(|w| (w.now, w.used));
    let (now, used) = best.as_ref().map_or((0, 0), |w| (w.now, w.used));
    let mut starts = Vec::new();
    let mut at = best.and_then(|w| w.last);
    while let Some((before, block, start)) = at.and_then(|index| steps.get(index).copied()) {
        starts.push((block, start));
        at = before;
    }
    starts.reverse();
    Found {
        schedule: Schedule { starts, optimal },
        now,
        used,
    }
}

/// Adds a way unless one that is as good is there, and drops those it is as good as.
fn keep(list: &mut Vec<Way>, found: Way) {
    if list.iter().any(|way| way.as_good(&found)) {
        return;
    }
    list.retain(|way| !found.as_good(way));
    list.push(found);
}

/// Leaves the earliest ways of a layer that has too many; says whether all could be kept.
fn narrow(layer: &mut BTreeMap<Vec<usize>, Vec<Way>>, widest: usize) -> bool {
    let mut all: Vec<(u64, u64, usize)> = layer
        .values()
        .flatten()
        .map(|w| (w.now, w.used, w.last.unwrap_or(0)))
        .collect();
    if all.len() <= widest {
        return true;
    }
    // The step that led to a way is its own, so that no two are alike and exactly so many are kept.
    all.sort_unstable();
    let Some(first_left_out) = all.get(widest).copied() else {
        return true;
    };
    layer
        .values_mut()
        .for_each(|ways| ways.retain(|w| (w.now, w.used, w.last.unwrap_or(0)) < first_left_out));
    layer.retain(|_, ways| !ways.is_empty());
    false
}
