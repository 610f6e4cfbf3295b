//! What decides how long a job takes at least, however many hands there are and whenever they work.

use super::Leg;
use super::blocks::Blocks;
use super::pack::Problem;
use crate::domain::timer::Duration;
use crate::model::{ProcedureId, Set, StepNumber};
use crate::words::{Phrase, say};
use std::collections::BTreeSet;

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

/// What holds a block back.
#[derive(Debug, Clone, Copy)]
enum Cause {
    Block(usize),
    /// A wait, by its position in the list.
    Wait(usize),
}

/// Finds the longest way.
pub fn path(problem: &Problem) -> Critical {
    let count = problem.lengths.len();
    let mut before: Vec<Vec<usize>> = problem.after.clone();
    before.resize(count, Vec::new());
    for pair in problem.chains.iter().flat_map(|c| c.windows(2)) {
        before[pair[1]].push(pair[0]);
    }
    let mut starts = vec![0_u64; count];
    let mut causes: Vec<Option<Cause>> = vec![None; count];
    // Blocks are numbered so that each comes after what it waits for.
    for block in 0..count {
        for other in &before[block] {
            let end = starts[*other] + problem.lengths[*other];
            if end > starts[block] {
                (starts[block], causes[block]) = (end, Some(Cause::Block(*other)));
            }
        }
        for (index, wait) in problem.waits.iter().enumerate().filter(|(_, w)| w.to == block) {
            let up = (starts[wait.from] + wait.from_offset + wait.length).saturating_sub(wait.to_offset);
            if up > starts[block] {
                (starts[block], causes[block]) = (up, Some(Cause::Wait(index)));
            }
        }
    }
    let ends = (0..count).map(|b| (starts[b] + problem.lengths[b], std::cmp::Reverse(b)));
    let Some((length, std::cmp::Reverse(last))) = ends.max() else {
        return Critical::default();
    };
    let mut parts = vec![(last, None)];
    let mut at = last;
    while let Some(cause) = causes[at] {
        let (block, wait) = match cause {
            Cause::Block(block) => (block, None),
            Cause::Wait(index) => (problem.waits[index].from, Some(index)),
        };
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
        for (procedure, steps) in blocks.all[*block].by_procedure() {
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
