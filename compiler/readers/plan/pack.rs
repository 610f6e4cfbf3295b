//! Which block when: blocks of work in chains, one at a time, with waits between them and sittings to fit into. Pure arithmetic, in
//! whole seconds.
//!
//! A block once begun is done to its end. For a given order each block is best begun as early as it can be, so only orders are
//! searched: layer by layer, one more block done in each, keeping of two ways to have done the same blocks only the one that is in
//! no way later. That finds the best plan; where more ways than [`WIDEST`] are left in a layer, the earliest are kept and the plan says
//! that it may not be the best.

use std::collections::BTreeMap;

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

/// One way to have done some blocks.
#[derive(Debug, Clone)]
struct Way {
    /// When the hands are free, and the sitting that was.
    now: u64,
    sitting: Option<u64>,
    /// Sittings begun.
    used: u64,
    /// Blocks not done that a running wait holds back, and until when.
    held: BTreeMap<usize, u64>,
    /// The step that led here, in the list of all.
    last: Option<usize>,
}

impl Way {
    /// True if this way is in no respect worse than another with the same blocks done.
    fn as_good(&self, other: &Way) -> bool {
        // Whoever is free earlier may still have to begin the sitting that the other is in already.
        let used = self.used + u64::from(self.sitting != other.sitting);
        let sooner = |(block, until): (&usize, &u64)| other.held.get(block).is_some_and(|o| until <= o);
        self.now <= other.now && used <= other.used && self.held.iter().all(|(b, u)| *u <= other.now || sooner((b, u)))
    }
}

/// Packs the blocks so that the last is done as early as can be, in as few sittings as that allows.
pub fn pack(problem: &Problem) -> Schedule {
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
            for (chain, blocks) in problem.chains.iter().enumerate() {
                let Some(&block) = blocks.get(done[chain]).filter(|b| problem.ready(**b, done, &places)) else {
                    continue;
                };
                let mut after = done.clone();
                after[chain] += 1;
                let list = next.entry(after).or_default();
                for way in ways {
                    let found = problem.follow(way, block, &mut steps);
                    keep(list, found);
                }
            }
        }
        optimal &= narrow(&mut next, widest);
        layer = next;
    }
    let best = layer.into_values().flatten().min_by_key(|w| (w.now, w.used));
    let mut starts = Vec::new();
    let mut at = best.and_then(|w| w.last);
    while let Some((before, block, start)) = at.and_then(|index| steps.get(index).copied()) {
        starts.push((block, start));
        at = before;
    }
    starts.reverse();
    Schedule { starts, optimal }
}

impl Problem {
    /// By block, its chain and its place in it.
    fn places(&self) -> Vec<(usize, usize)> {
        let mut places = vec![(0, 0); self.lengths.len()];
        for (chain, blocks) in self.chains.iter().enumerate() {
            blocks
                .iter()
                .enumerate()
                .for_each(|(n, block)| places[*block] = (chain, n));
        }
        places
    }

    /// True if everything that comes before a block is done.
    fn ready(&self, block: usize, done: &[usize], places: &[(usize, usize)]) -> bool {
        let is_done = |other: &usize| places.get(*other).is_some_and(|(chain, n)| done[*chain] > *n);
        self.after.get(block).is_none_or(|after| after.iter().all(is_done))
    }

    fn follow(&self, way: &Way, block: usize, steps: &mut Vec<(Option<usize>, usize, u64)>) -> Way {
        let length = self.lengths.get(block).copied().unwrap_or(0);
        let from = way.now.max(way.held.get(&block).copied().unwrap_or(0));
        let start = self.sittings.fit(from, length);
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
    let worst = all[widest - 1];
    layer
        .values_mut()
        .for_each(|ways| ways.retain(|w| (w.now, w.used, w.last.unwrap_or(0)) <= worst));
    layer.retain(|_, ways| !ways.is_empty());
    false
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Every order, and in each every block begun either as early as it can be or at the next sitting: end and sittings of the best.
    fn brute(problem: &Problem) -> Option<(u64, u64)> {
        let first = Way {
            now: 0,
            sitting: None,
            used: 0,
            held: BTreeMap::new(),
            last: None,
        };
        let mut best = None;
        try_all(problem, &vec![0; problem.chains.len()], &first, &mut best);
        best
    }

    fn try_all(problem: &Problem, done: &[usize], way: &Way, best: &mut Option<(u64, u64)>) {
        let mut finished = true;
        for chain in 0..problem.chains.len() {
            let Some(block) = problem.chains[chain].get(done[chain]).copied() else {
                continue;
            };
            finished = false;
            if !problem.ready(block, done, &problem.places()) {
                continue;
            }
            let mut after = done.to_vec();
            after[chain] += 1;
            let next = problem.follow(way, block, &mut Vec::new());
            try_all(problem, &after, &next, best);
            if problem.sittings.length.is_some() {
                let late = (way.now / problem.sittings.every + 1) * problem.sittings.every;
                let next = problem.follow(
                    &Way {
                        now: late,
                        ..way.clone()
                    },
                    block,
                    &mut Vec::new(),
                );
                try_all(problem, &after, &next, best);
            }
        }
        let found = (way.now, way.used);
        if finished && best.is_none_or(|b| found < b) {
            *best = Some(found);
        }
    }

    fn sittings_used(problem: &Problem, schedule: &Schedule) -> u64 {
        let numbers: std::collections::BTreeSet<u64> = schedule
            .starts
            .iter()
            .map(|(_, s)| problem.sittings.number(*s))
            .collect();
        numbers.len() as u64
    }

    fn any_problem() -> impl Strategy<Value = Problem> {
        let block = (0..3_usize, 0..60_u64);
        let wait = (0..6_usize, 0..6_usize, 0..300_u64);
        let sittings = prop_oneof![Just(None), (30..90_u64).prop_map(Some)];
        let after = (0..6_usize, 0..6_usize);
        let blocks = prop::collection::vec(block, 1..7);
        (
            blocks,
            prop::collection::vec(wait, 0..4),
            prop::collection::vec(after, 0..3),
            sittings,
        )
            .prop_map(|(blocks, waits, after, length)| {
                let mut chains = vec![Vec::new(); 3];
                blocks
                    .iter()
                    .enumerate()
                    .for_each(|(n, (chain, _))| chains[*chain].push(n));
                let mut befores = vec![Vec::new(); blocks.len()];
                let mut lags = Vec::new();
                for (a, b, length) in waits {
                    let (from, to) = (a.min(b), a.max(b));
                    if from < to && to < blocks.len() {
                        befores[to].push(from);
                        let from_offset = blocks[from].1;
                        lags.push(Lag {
                            from,
                            from_offset,
                            to,
                            to_offset: blocks[to].1 / 2,
                            length,
                        });
                    }
                }
                for (a, b) in after {
                    let (from, to) = (a.min(b), a.max(b));
                    if from < to && to < blocks.len() {
                        befores[to].push(from);
                    }
                }
                Problem {
                    lengths: blocks.iter().map(|(_, length)| *length).collect(),
                    chains,
                    after: befores,
                    waits: lags,
                    sittings: Sittings { length, every: 100 },
                }
            })
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

        #[test]
        fn no_order_is_better(problem in any_problem()) {
            let schedule = pack(&problem);
            prop_assert!(schedule.optimal);
            prop_assert_eq!(schedule.starts.len(), problem.lengths.len());
            let found = (schedule.end(&problem), sittings_used(&problem, &schedule));
            prop_assert_eq!(Some(found), brute(&problem));
        }

        #[test]
        fn waits_are_kept_and_blocks_lie_in_sittings(problem in any_problem()) {
            let schedule = pack(&problem);
            let start = |block| schedule.start(block).unwrap();
            for wait in &problem.waits {
                prop_assert!(start(wait.to) + wait.to_offset >= start(wait.from) + wait.from_offset + wait.length);
            }
            for pair in schedule.starts.windows(2) {
                prop_assert!(pair[0].1 + problem.lengths[pair[0].0] <= pair[1].1);
            }
            if let Some(length) = problem.sittings.length {
                for (block, start) in &schedule.starts {
                    let (into, block) = (start % 100, problem.lengths[*block]);
                    prop_assert!(into + block <= length || into == 0);
                }
            }
        }
    }

    // Twenty cards of ten blocks that hang on nothing: too many orders, and still an answer in a moment.
    #[test]
    fn many_free_cards_are_packed_in_a_moment() {
        let chains: Vec<Vec<usize>> = (0..20).map(|c| (c * 10..c * 10 + 10).collect()).collect();
        let lengths: Vec<u64> = (0..200).map(|n| 5 + n * 7 % 31).collect();
        let whole: u64 = lengths.iter().sum();
        let waits = (0..190).step_by(13).map(|n| Lag {
            from: n,
            from_offset: 5,
            to: n + 10,
            to_offset: 0,
            length: 100,
        });
        let problem = Problem {
            waits: waits.collect(),
            after: (0..200)
                .map(|n| {
                    if n % 13 == 10 && n >= 10 {
                        vec![n - 10]
                    } else {
                        Vec::new()
                    }
                })
                .collect(),
            chains,
            lengths,
            sittings: Sittings {
                length: Some(90),
                every: 100,
            },
        };
        let schedule = pack(&problem);
        assert_eq!(schedule.starts.len(), 200);
        assert!(schedule.end(&problem) >= whole);
    }

    // A cure over night: the other card's work is done while the first one's joint hardens.
    #[test]
    fn a_cure_over_night_is_filled() {
        let problem = Problem {
            lengths: vec![40, 30, 50],
            chains: vec![vec![0, 1], vec![2]],
            after: vec![vec![], vec![0], vec![]],
            waits: vec![Lag {
                from: 0,
                from_offset: 40,
                to: 1,
                to_offset: 0,
                length: 60,
            }],
            sittings: Sittings {
                length: Some(90),
                every: 100,
            },
        };
        let schedule = pack(&problem);
        assert_eq!(schedule.starts, vec![(0, 0), (2, 40), (1, 100)]);
    }
}
