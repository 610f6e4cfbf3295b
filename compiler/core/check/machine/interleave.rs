//! Orders of a few things that differ in what they come to: two that don't bear on each other may change places freely, so of all orders
//! that come about by such changes one is enough.
//!
//! Of each such class the order is listed that comes first by the things' numbers (the lexicographic normal form of a trace: a thing is
//! not put behind others that it could stand before, if one of them has a higher number).

/// Every order of `0..count`, one of each class and the order of the numbers not among them. `bear` tells of which two the order matters;
/// `after` which must have come before a thing. `None` if there are more than `most`, or finding them would take too long.
pub fn orders(
    count: usize,
    after: &dyn Fn(usize) -> Vec<usize>,
    bear: &dyn Fn(usize, usize) -> bool,
    most: usize,
) -> Option<Vec<Vec<usize>>> {
    let after: Vec<Vec<usize>> = (0..count).map(after).collect();
    let bear: Vec<Vec<bool>> = (0..count)
        .map(|one| (0..count).map(|other| bear(one, other) || bear(other, one)).collect())
        .collect();
    let parts = (bear.iter().enumerate())
        .map(|(one, row)| {
            let before = |other: &usize| *other != one && after.get(*other).is_some_and(|first| !first.contains(&one));
            let bear = row.iter().enumerate().filter(|(_, bears)| **bears);
            bear.map(|(other, _)| other).filter(before).collect()
        })
        .collect();
    let mut search = Search {
        after,
        bear,
        parts,
        placed: vec![false; count],
        most: most + 1,
        tries: (most + 1).saturating_mul(TRIES),
        found: Vec::new(),
    };
    search.go(&mut Vec::new())?;
    search.found.retain(|order| !order.is_sorted());
    (search.found.len() <= most).then_some(search.found)
}

/// How many beginnings are looked at for each order that may be listed.
const TRIES: usize = 200;

struct Search {
    after: Vec<Vec<usize>>,
    bear: Vec<Vec<bool>>,
    /// Of each thing, what it bears on and needn't wait for it: behind one of these it may stand though its number is lower.
    parts: Vec<Vec<usize>>,
    /// Of each thing, whether it is among those that were put so far.
    placed: Vec<bool>,
    most: usize,
    tries: usize,
    found: Vec<Vec<usize>>,
}

impl Search {
    fn go(&mut self, so_far: &mut Vec<usize>) -> Option<()> {
        self.tries = self.tries.checked_sub(1)?;
        if so_far.len() == self.after.len() {
            if self.found.len() >= self.most {
                return None;
            }
            self.found.push(so_far.clone());
            return Some(());
        }
        // What is ready and has nothing left that parts it from what comes now would find no place behind a higher number.
        let count = self.after.len();
        let last = (0..count).find(|one| self.is_ready(*one) && !self.is_parted(*one));
        for next in 0..=last.unwrap_or(count - 1) {
            if self.fits(so_far, next) {
                so_far.push(next);
                self.place(next, true);
                let went = self.go(so_far);
                self.place(next, false);
                so_far.pop();
                went?;
            }
        }
        Some(())
    }

    fn place(&mut self, thing: usize, placed: bool) {
        if let Some(place) = self.placed.get_mut(thing) {
            *place = placed;
        }
    }

    fn is_placed(&self, thing: usize) -> bool {
        self.placed.get(thing).copied().unwrap_or(false)
    }

    /// True if a thing isn't placed, and all that must come first is.
    fn is_ready(&self, thing: usize) -> bool {
        let mut first = self.after.get(thing).into_iter().flatten();
        !self.is_placed(thing) && first.all(|one| self.is_placed(*one))
    }

    /// True if something that isn't placed yet may stand between a thing and what is placed before it.
    fn is_parted(&self, thing: usize) -> bool {
        let mut parts = self.parts.get(thing).into_iter().flatten();
        parts.any(|other| !self.is_placed(*other))
    }

    /// True if a thing may come next, and doesn't belong before one of a higher number.
    fn fits(&self, so_far: &[usize], next: usize) -> bool {
        if !self.is_ready(next) {
            return false;
        }
        let tied = |one: usize| {
            let bears = self
                .bear
                .get(next)
                .and_then(|row| row.get(one))
                .copied()
                .unwrap_or(true);
            bears || self.after.get(next).is_some_and(|first| first.contains(&one))
        };
        so_far
            .iter()
            .rev()
            .take_while(|one| !tied(**one))
            .all(|one| *one < next)
    }
}

#[cfg(test)]
mod tests {
    use super::orders;
    use std::collections::BTreeSet;

    fn none(_: usize) -> Vec<usize> {
        Vec::new()
    }

    #[test]
    fn what_does_not_bear_on_each_other_has_one_order() {
        assert_eq!(orders(6, &none, &|_, _| false, 10), Some(Vec::new()));
        // 0 bears on 1 alone.
        let two = orders(3, &none, &|a, b| a + b == 1, 10);
        assert_eq!(two, Some(vec![vec![1, 0, 2]]));
    }

    #[test]
    fn many_that_do_not_bear_on_each_other_are_no_trouble() {
        // As they stand, and all behind the first, as cards stand behind the one that strips a machine.
        assert_eq!(orders(300, &none, &|_, _| false, 10), Some(Vec::new()));
        let behind = |n: usize| if n == 0 { Vec::new() } else { vec![0] };
        assert_eq!(orders(300, &behind, &|_, _| false, 10), Some(Vec::new()));
        // Of two pairs among them.
        let pairs = |a: usize, b: usize| matches!((a.min(b), a.max(b)), (10, 200) | (20, 30));
        assert_eq!(orders(300, &behind, &pairs, 10).map(|all| all.len()), Some(3));
    }

    #[test]
    fn where_all_bear_on_each_other_every_order_is_another() {
        let all = orders(4, &none, &|_, _| true, 23).unwrap_or_default();
        let different: BTreeSet<&Vec<usize>> = all.iter().collect();
        assert_eq!((all.len(), different.len()), (23, 23));
        assert_eq!(orders(4, &none, &|_, _| true, 22), None);
    }

    #[test]
    fn what_comes_first_stays_first() {
        let after = |n: usize| if n == 1 { vec![0] } else { Vec::new() };
        let all = orders(3, &after, &|_, _| true, 10);
        assert_eq!(all, Some(vec![vec![0, 2, 1], vec![2, 0, 1]]));
    }

    /// A class is one way to say, of each two that bear on each other, which comes first: counted so, by trying every permutation.
    #[test]
    fn as_many_as_there_are_ways_round_of_the_pairs() {
        let permutations = |n: usize| {
            let mut all: Vec<Vec<usize>> = vec![Vec::new()];
            for _ in 0..n {
                let longer = |order: &Vec<usize>| {
                    let left: Vec<usize> = (0..n).filter(|one| !order.contains(one)).collect();
                    let order = order.clone();
                    left.into_iter().map(move |one| [order.clone(), vec![one]].concat())
                };
                all = all.iter().flat_map(longer).collect();
            }
            all
        };
        for pairs in 0_u32..1 << 10 {
            let edges: Vec<(usize, usize)> = (0..5).flat_map(|b| (0..b).map(move |a| (a, b))).collect();
            let bear = |a: usize, b: usize| {
                let edge = edges.iter().position(|edge| *edge == (a.min(b), a.max(b)));
                edge.is_some_and(|edge| pairs & (1 << edge) != 0)
            };
            let classes: BTreeSet<Vec<bool>> = permutations(5)
                .iter()
                .map(|order| {
                    let at = |one: usize| order.iter().position(|other| *other == one);
                    edges
                        .iter()
                        .filter(|(a, b)| bear(*a, *b))
                        .map(|(a, b)| at(*a) < at(*b))
                        .collect()
                })
                .collect();
            let found = orders(5, &none, &bear, 200).map(|all| all.len() + 1);
            assert_eq!(found, Some(classes.len()), "pairs {pairs:010b}");
        }
    }
}
