//! What steps touch of how the machine stands, to tell whether their order matters.

use std::collections::{BTreeMap, BTreeSet};

/// What one step touches, to tell whether its order matters: numbers of tracks of one world.
#[derive(Debug, Default, Clone)]
pub struct Touches {
    pub(super) reads: BTreeSet<usize>,
    pub(super) writes: BTreeSet<usize>,
    /// True if it goes back or ends the job.
    pub turns: bool,
    /// True if a window, or the open time of a joint, begins or ends with it: which other steps lie within hangs on their order. Of a card
    /// also, if what no card may end with does.
    pub times: bool,
    /// What begins or ends so with it, and what might in another order.
    pub(super) turned: BTreeSet<usize>,
    pub(super) may_turn: BTreeSet<usize>,
}

impl Touches {
    /// True if what the two touch can come to something else in another order.
    pub fn bears_on(&self, other: &Touches) -> bool {
        if self.turns || other.turns {
            return true;
        }
        let meets = |a: &BTreeSet<usize>, b: &BTreeSet<usize>| !a.is_disjoint(b);
        meets(&self.writes, &other.reads) || meets(&self.reads, &other.writes) || meets(&self.writes, &other.writes)
    }

    /// True if the order of the two can matter: each takes its time besides.
    pub fn must_be_tried(&self, other: &Touches) -> bool {
        self.times || other.times || self.bears_on(other)
    }

    /// Of several in any order: what one of them begins or ends, another might if it came first.
    pub fn together<'t>(all: impl Iterator<Item = &'t mut Touches>) {
        let mut all: Vec<&mut Touches> = all.collect();
        let turned: BTreeSet<usize> = all.iter().flat_map(|touches| &touches.turned).copied().collect();
        for touches in &mut all {
            touches.times = !touches.may_turn.is_disjoint(&turned);
        }
    }

    /// Of each two of several, whether the order of them can matter; found by what is touched, for most touch nothing that others do.
    pub fn that_bear(all: &[Touches]) -> Vec<Vec<bool>> {
        let mut bear = vec![vec![false; all.len()]; all.len()];
        let mut put = |one: usize, other: usize| {
            for (one, other) in [(one, other), (other, one)] {
                if let Some(place) = bear.get_mut(one).and_then(|row| row.get_mut(other)) {
                    *place = true;
                }
            }
        };
        let mut by_key: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (one, touches) in all.iter().enumerate() {
            for key in touches.reads.union(&touches.writes) {
                by_key.entry(*key).or_default().push(one);
            }
            if touches.turns || touches.times {
                (0..all.len()).for_each(|other| put(one, other));
            }
        }
        for (one, touches) in all.iter().enumerate() {
            let others = touches.writes.iter().filter_map(|key| by_key.get(key)).flatten();
            others.for_each(|other| put(one, *other));
        }
        bear
    }

    pub fn extend(&mut self, more: Touches) {
        self.reads.extend(more.reads);
        self.writes.extend(more.writes);
        self.turns |= more.turns;
        self.times |= more.times;
        self.turned.extend(more.turned);
        self.may_turn.extend(more.may_turn);
    }
}

#[cfg(test)]
mod tests {
    use super::Touches;
    use crate::check::chance::chance;

    /// What is found by key is what comparing each two gives.
    #[test]
    fn that_bear_are_those_that_bear_on_each_other() {
        let mut next = chance(7);
        let mut both = [0, 0];
        for _ in 0..40 {
            let all: Vec<Touches> = (0..7)
                .map(|_| Touches {
                    reads: (0..next(4)).map(|_| next(30)).collect(),
                    writes: (0..next(3)).map(|_| next(30)).collect(),
                    turns: next(12) == 0,
                    times: next(12) == 0,
                    ..Touches::default()
                })
                .collect();
            let found = Touches::that_bear(&all);
            for (one, row) in found.iter().enumerate() {
                for (other, bears) in row.iter().enumerate().filter(|(other, _)| *other != one) {
                    assert_eq!(*bears, all[one].must_be_tried(&all[other]));
                    both[usize::from(*bears)] += 1;
                }
            }
        }
        assert!(both.iter().all(|count| *count > 100), "{both:?}");
    }
}
