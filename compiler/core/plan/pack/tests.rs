//! The packing against every order and every sitting tried.

use super::*;
use proptest::prelude::*;

/// Every order, and in each every block in every sitting up to the last: end and sittings of the best.
fn brute(problem: &Problem) -> Option<(u64, u64)> {
    let mut best = None;
    try_all(problem, &mut vec![0; problem.chains.len()], &mut Vec::new(), &mut best);
    best
}

/// Counts for itself: shares only [`Sittings::fit`] with what it is to judge.
fn try_all(problem: &Problem, done: &mut Vec<usize>, starts: &mut Vec<(usize, u64)>, best: &mut Option<(u64, u64)>) {
    let Sittings { length, every } = problem.sittings;
    let end = starts.iter().map(|(b, s)| s + problem.lengths[*b]).max().unwrap_or(0);
    let used = starts
        .iter()
        .map(|(_, s)| if length.is_some() { s / every } else { 0 })
        .collect::<std::collections::BTreeSet<_>>()
        .len() as u64;
    if best.is_some_and(|b| (end, used) >= b) {
        return;
    }
    if starts.len() == problem.lengths.len() {
        *best = Some((end, used));
        return;
    }
    for chain in 0..problem.chains.len() {
        let Some(block) = problem.chains[chain].get(done[chain]).copied() else {
            continue;
        };
        let begun = |b: usize| starts.iter().find(|(of, _)| *of == b).map(|(_, s)| *s);
        if !problem.after[block].iter().all(|b| begun(*b).is_some()) {
            continue;
        }
        let waits = problem.waits.iter().filter(|w| w.to == block);
        let up = waits.filter_map(|w| Some(begun(w.from)? + w.from_offset + w.length));
        let up = up
            .map(|up| up.saturating_sub(problem.lengths[block] / 2))
            .max()
            .unwrap_or(0);
        let mut at = problem.sittings.fit(end.max(up), problem.lengths[block]);
        done[chain] += 1;
        loop {
            starts.push((block, at));
            try_all(problem, done, starts, best);
            starts.pop();
            at = (at / every + 1) * every;
            if length.is_none() || best.is_none_or(|(end, _)| at > end) {
                break;
            }
        }
        done[chain] -= 1;
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
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2000) })]

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

// The second block could still be done in the third sitting; put off to the fourth it shares that with the next.
#[test]
fn work_is_put_off_where_that_saves_a_sitting() {
    let problem = Problem {
        lengths: vec![3, 15, 13, 0],
        chains: vec![vec![0, 1, 2, 3]],
        after: vec![vec![], vec![0], vec![], vec![2]],
        waits: vec![
            Lag {
                from: 0,
                from_offset: 3,
                to: 1,
                to_offset: 7,
                length: 236,
            },
            Lag {
                from: 2,
                from_offset: 13,
                to: 3,
                to_offset: 0,
                length: 246,
            },
        ],
        sittings: Sittings {
            length: Some(47),
            every: 100,
        },
    };
    assert_eq!(pack(&problem).starts, vec![(0, 0), (1, 300), (2, 315), (3, 600)]);
}

// What takes no time is put off to the sitting that a block longer than a sitting begins.
#[test]
fn a_long_block_shares_its_sitting_with_what_takes_no_time() {
    let problem = Problem {
        lengths: vec![43, 0, 31],
        chains: vec![vec![0, 1, 2]],
        after: vec![vec![], vec![0], vec![]],
        waits: vec![Lag {
            from: 0,
            from_offset: 43,
            to: 1,
            to_offset: 0,
            length: 58,
        }],
        sittings: Sittings {
            length: Some(30),
            every: 100,
        },
    };
    assert_eq!(pack(&problem).starts, vec![(0, 0), (1, 200), (2, 200)]);
}
