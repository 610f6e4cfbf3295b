//! Which item of an old list is which of a new one: alike ones in order first, then alike ones that moved, then the most similar.

use similar::{Algorithm, DiffOp, capture_diff_slices};
use std::collections::{BTreeMap, BTreeSet};

/// Share of words in common from which two items are one that was reworded.
const SIMILAR: f64 = 0.5;

/// Enough between two neighbours that stayed where they were.
const SIMILAR_IN_PLACE: f64 = 0.4;

/// Most comparisons of items; beyond it, only what is alike to the letter is paired.
const MOST: usize = 1_000_000;

/// An item by what it says.
#[derive(Debug, Clone)]
pub struct Item {
    key: String,
    /// Sorted.
    words: Vec<String>,
}

impl Item {
    /// `further` are words that count as one each, such as what a mark does.
    pub fn new(text: &str, further: impl IntoIterator<Item = String>) -> Item {
        let plain = |word: &str| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
        let mut words: Vec<String> = text.split_whitespace().map(plain).filter(|w| !w.is_empty()).collect();
        words.extend(further);
        let key = format!("{text}\u{0}{}", words.join("\u{0}"));
        words.sort_unstable();
        Item { key, words }
    }

    /// Words in common as a share of the words of both, from 0 to 1.
    pub fn likeness(&self, other: &Item) -> f64 {
        let all = self.words.len() + other.words.len();
        if all == 0 {
            return if self.key == other.key { 1.0 } else { 0.0 };
        }
        let (mut a, mut b) = (self.words.iter().peekable(), other.words.iter().peekable());
        let mut common = 0;
        while let (Some(x), Some(y)) = (a.peek(), b.peek()) {
            match x.cmp(y) {
                std::cmp::Ordering::Less => drop(a.next()),
                std::cmp::Ordering::Greater => drop(b.next()),
                std::cmp::Ordering::Equal => {
                    common += 1;
                    a.next();
                    b.next();
                }
            }
        }
        2.0 * f64::from(common) / all as f64
    }
}

/// An item and its index.
type Indexed<'i> = (usize, &'i Item);

/// One item in both lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pair {
    pub old: usize,
    pub new: usize,
    /// It changed places with items that are in both lists.
    pub moved: bool,
}

/// What became of two lists.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Pairs {
    /// In the new order.
    pub pairs: Vec<Pair>,
    pub removed: Vec<usize>,
    pub added: Vec<usize>,
}

impl Pairs {
    /// Those of the old list that have no partner, with their indices.
    pub fn removed_of<'i, T>(&'i self, old: &'i [T]) -> impl Iterator<Item = (usize, &'i T)> {
        self.removed.iter().filter_map(|n| Some((*n, old.get(*n)?)))
    }

    /// Those of the new list that have no partner, with their indices.
    pub fn added_of<'i, T>(&'i self, new: &'i [T]) -> impl Iterator<Item = (usize, &'i T)> {
        self.added.iter().filter_map(|n| Some((*n, new.get(*n)?)))
    }

    /// The pairs of the two lists, in the new order.
    pub fn of<'i, T>(&'i self, old: &'i [T], new: &'i [T]) -> impl Iterator<Item = (Pair, &'i T, &'i T)> {
        self.pairs
            .iter()
            .filter_map(|pair| Some((*pair, old.get(pair.old)?, new.get(pair.new)?)))
    }
}

/// Pairs two lists.
pub fn pair(old: &[Item], new: &[Item]) -> Pairs {
    let mut partner: BTreeMap<usize, usize> = BTreeMap::new();
    let keys = |items: &[Item]| -> Vec<String> { items.iter().map(|i| i.key.clone()).collect() };
    for op in capture_diff_slices(Algorithm::Patience, &keys(old), &keys(new)) {
        if let DiffOp::Equal {
            old_index,
            new_index,
            len,
        } = op
        {
            partner.extend((0..len).map(|n| (old_index + n, new_index + n)));
        }
    }
    let (mut left, mut fresh) = rest(&partner, old, new);
    for (o, was) in &left {
        if let Some(at) = fresh.iter().position(|(_, is)| is.key == was.key) {
            partner.insert(*o, fresh.remove(at).0);
        }
    }
    left.retain(|(o, _)| !partner.contains_key(o));
    if left.len() * fresh.len() <= MOST {
        most_alike(&left, &fresh, &mut partner);
    }
    let (removed, added) = rest(&partner, old, new);
    let indices = |items: Vec<Indexed>| items.into_iter().map(|(n, _)| n).collect();
    let stayed = longest_rise(&partner);
    let mut pairs: Vec<Pair> = partner
        .iter()
        .map(|(old, new)| Pair {
            old: *old,
            new: *new,
            moved: !stayed.contains(old),
        })
        .collect();
    pairs.sort_by_key(|p| p.new);
    Pairs {
        pairs,
        removed: indices(removed),
        added: indices(added),
    }
}

/// Items without a partner: of the old list, of the new.
fn rest<'i>(
    partner: &BTreeMap<usize, usize>,
    old: &'i [Item],
    new: &'i [Item],
) -> (Vec<Indexed<'i>>, Vec<Indexed<'i>>) {
    let taken: BTreeSet<usize> = partner.values().copied().collect();
    let left = old.iter().enumerate().filter(|(o, _)| !partner.contains_key(o));
    let fresh = new.iter().enumerate().filter(|(n, _)| !taken.contains(n));
    (left.collect(), fresh.collect())
}

/// Pairs what is left by likeness, the most alike first.
fn most_alike(left: &[Indexed], fresh: &[Indexed], partner: &mut BTreeMap<usize, usize>) {
    // The neighbours that stayed: two items between the same ones stand in the same place.
    let place_old = |o: usize| partner.range(..o).next_back().map(|(_, n)| *n);
    let by_new: BTreeMap<usize, usize> = partner.iter().map(|(o, n)| (*n, *o)).collect();
    let place_new = |n: usize| by_new.range(..n).next_back().map(|(n, _)| *n);
    let mut candidates = Vec::new();
    for (o, was) in left {
        for (n, is) in fresh {
            let likeness = was.likeness(is);
            let in_place = place_old(*o) == place_new(*n);
            if likeness >= if in_place { SIMILAR_IN_PLACE } else { SIMILAR } {
                let score = likeness + if in_place { 0.1 } else { 0.0 };
                candidates.push((score, *o, *n));
            }
        }
    }
    candidates.sort_by(|a, b| {
        let apart = |c: &(f64, usize, usize)| c.1.abs_diff(c.2);
        b.0.total_cmp(&a.0)
            .then_with(|| apart(a).cmp(&apart(b)))
            .then_with(|| (a.1, a.2).cmp(&(b.1, b.2)))
    });
    let mut taken = BTreeSet::new();
    for (_, o, n) in candidates {
        if !partner.contains_key(&o) && taken.insert(n) {
            partner.insert(o, n);
        }
    }
}

/// The old places of the longest run of partners that kept their order: all others moved.
fn longest_rise(partner: &BTreeMap<usize, usize>) -> BTreeSet<usize> {
    // By length of a run: the pair that ends the run of that length with the lowest new place.
    let mut ends: Vec<(usize, usize)> = Vec::new();
    // By the old place of a pair, that of the pair before it in its run.
    let mut before: BTreeMap<usize, usize> = BTreeMap::new();
    for (old, new) in partner {
        let length = ends.partition_point(|(_, end)| end < new);
        let last = length.checked_sub(1).and_then(|shorter| ends.get(shorter));
        before.extend(last.map(|(last, _)| (*old, *last)));
        match ends.get_mut(length) {
            Some(end) => *end = (*old, *new),
            None => ends.push((*old, *new)),
        }
    }
    let end = ends.last().map(|(old, _)| *old);
    std::iter::successors(end, |old| before.get(old).copied()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn items(texts: &[&str]) -> Vec<Item> {
        texts.iter().map(|t| Item::new(t, [])).collect()
    }

    #[test]
    fn a_moved_item_is_neither_removed_nor_added() {
        let old = items(&[
            "drain the oil",
            "take off the cover",
            "lift out the shaft",
            "clean the bore",
        ]);
        let new = items(&[
            "take off the cover",
            "lift out the shaft",
            "clean the bore",
            "drain the oil",
        ]);
        let found = pair(&old, &new);
        assert_eq!((found.removed.len(), found.added.len()), (0, 0));
        let moved: Vec<_> = found.pairs.iter().filter(|p| p.moved).collect();
        assert_eq!(
            moved,
            [&Pair {
                old: 0,
                new: 3,
                moved: true
            }]
        );
    }

    #[test]
    fn a_reworded_item_is_the_same_one_and_another_is_not() {
        let old = items(&["take off the front cover", "weigh the rotor"]);
        let new = items(&["take off the front cover and gasket", "pour in the sealant"]);
        let found = pair(&old, &new);
        assert_eq!(found.pairs.len(), 1);
        assert_eq!((found.removed, found.added), (vec![1], vec![1]));
    }
}
