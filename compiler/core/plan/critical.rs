//! What decides how long a job takes at least, however many hands there are and whenever they work.

use super::Leg;
use super::blocks::{Block, Blocks};
use super::pack::Problem;
use crate::domain::timer::Duration;
use crate::model::{ProcedureId, Set, StepNumber};
use crate::words::{Phrase, say};
use std::collections::{BTreeMap, BTreeSet};

/// The longest way through the blocks.
#[derive(Debug, Default, PartialEq)]
pub struct Critical {
    /// Seconds.
    pub length: u64,
    /// Its blocks.
    pub blocks: BTreeSet<usize>,
    /// In order: a block, and the wait (by position) that follows it, if one does.
    pub parts: Vec<(usize, Option<usize>)>,
}

/// How far the longest way to a block takes.
#[derive(Debug, Clone, Copy)]
struct Reached {
    start: u64,
    end: u64,
    /// What holds it back longest: a block, and the wait (by position) that follows that, if one does.
    cause: Option<(usize, Option<usize>)>,
}

/// Finds the longest way.
pub fn path(problem: &Problem) -> Critical {
    // Of a chain, what each block comes right after.
    let mut previous: BTreeMap<usize, usize> = BTreeMap::new();
    for pair in problem.chains.iter().flat_map(|c| c.windows(2)) {
        if let [one, next] = pair {
            previous.insert(*next, *one);
        }
    }
    // Blocks are numbered so that each comes after what it waits for.
    let mut reached: Vec<Reached> = Vec::with_capacity(problem.lengths.len());
    for (block, length) in problem.lengths.iter().enumerate() {
        let (mut start, mut cause) = (0, None);
        let mut hold = |until: u64, by: (usize, Option<usize>)| {
            if until > start {
                (start, cause) = (until, Some(by));
            }
        };
        let after = problem.after.get(block).into_iter().flatten();
        for other in after.chain(previous.get(&block)) {
            if let Some(done) = reached.get(*other) {
                hold(done.end, (*other, None));
            }
        }
        for (index, wait) in problem.waits.iter().enumerate().filter(|(_, w)| w.to == block) {
            if let Some(done) = reached.get(wait.from) {
                let up = (done.start + wait.from_offset + wait.length).saturating_sub(wait.to_offset);
                hold(up, (wait.from, Some(index)));
            }
        }
        let end = start + length;
        reached.push(Reached { start, end, cause });
    }
    let ends = reached.iter().enumerate();
    let ends = ends.map(|(block, reached)| (reached.end, std::cmp::Reverse(block)));
    let Some((length, std::cmp::Reverse(last))) = ends.max() else {
        return Critical::default();
    };
    let mut parts = vec![(last, None)];
    let mut at = last;
    while let Some((block, wait)) = reached.get(at).and_then(|reached| reached.cause) {
        parts.push((block, wait));
        at = block;
    }
    parts.reverse();
    Critical {
        length,
        blocks: parts.iter().map(|(block, _)| *block).collect(),
        parts,
    }
}

/// The way in words: blocks of one card that follow each other are one leg.
pub fn legs(set: &Set, blocks: &Blocks, critical: &Critical) -> Vec<Leg> {
    let mut legs: Vec<Leg> = Vec::new();
    // The work that a leg holds so far: procedure, first step, last step, seconds.
    let mut work: Option<(ProcedureId, StepNumber, StepNumber, u64)> = None;
    let flush = |work: &mut Option<(ProcedureId, StepNumber, StepNumber, u64)>, legs: &mut Vec<Leg>| {
        if let Some((procedure, from, to, length)) = work.take().filter(|(.., length)| *length > 0) {
            let id = &set.procedures[procedure].id;
            let what = if from == to {
                Phrase::from(format!("{id} {from}"))
            } else {
                say::from_to(format!("{id} {from}"), to.to_string())
            };
            legs.push(Leg {
                wait: false,
                what,
                length: Duration::in_words(length),
            });
        }
    };
    for (block, wait) in &critical.parts {
        let work_of = blocks.all.get(*block).into_iter().flat_map(Block::by_procedure);
        for (procedure, steps) in work_of {
            let (Some(first), Some(last)) = (steps.first(), steps.last()) else {
                continue;
            };
            let length = last.offset + last.length - first.offset;
            match &mut work {
                Some((same, _, to, sum)) if *same == procedure => {
                    *to = last.number;
                    *sum += length;
                }
                _ => {
                    flush(&mut work, &mut legs);
                    work = Some((procedure, first.number, last.number, length));
                }
            }
        }
        if let Some(wait) = wait.and_then(|index| blocks.waits.get(index)) {
            flush(&mut work, &mut legs);
            legs.push(Leg {
                wait: true,
                what: Phrase::from(wait.what.words(set).1),
                length: Duration::in_words(wait.lag.length),
            });
        }
    }
    flush(&mut work, &mut legs);
    legs
}
