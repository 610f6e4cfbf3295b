//! Work that falls into parts which know nothing of each other, done on every processor there is.
//!
//! What comes out is in the order of what goes in, however many threads had a part in it. Work is spread at one depth, within the two
//! of `both` at most: who waits for parts of a part may be handed another of the outer ones on top of its stack.

use rayon::iter::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

/// Work that deals with fewer texts than this is done part after part: waking a thread costs as much as they do.
const FEW: usize = 8;

/// The result of each part of a work that deals with so many texts.
pub fn over<P: Send, R: Send>(parts: Vec<P>, texts: usize, work: impl Fn(P) -> R + Sync + Send) -> Vec<R> {
    match texts < FEW {
        true => parts.into_iter().map(work).collect(),
        // Parts are of any size: each may go to who has nothing left to do.
        false => parts.into_par_iter().with_max_len(1).map(work).collect(),
    }
}

/// The results of two works on so many texts, of which each may be spread in turn.
pub fn both<A: Send, B: Send>(
    texts: usize,
    one: impl FnOnce() -> A + Send,
    other: impl FnOnce() -> B + Send,
) -> (A, B) {
    match texts < FEW {
        true => (one(), other()),
        false => rayon::join(one, other),
    }
}
