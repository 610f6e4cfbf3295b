//! Pieces of a part, and numbers for what the leaves of diagrams stand for.

use std::collections::BTreeMap;

/// Pieces of one part or temporary item, by where they are and what they have been through.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pieces {
    /// On, good.
    pub good: u32,
    /// On, good, and marked how they sit.
    pub marked: u32,
    /// On, for single use, and loosened since they were tightened.
    pub eased: u32,
    /// On, for single use, and used before.
    pub spent: u32,
    /// Off, never used.
    pub fresh: u32,
    /// Off, used, and nobody marked how they sat.
    pub off: u32,
    /// Off, used and marked.
    pub off_marked: u32,
}

impl Pieces {
    pub fn on(&self) -> u32 {
        self.good + self.marked + self.eased + self.spent
    }

    /// Takes so many off, those first that nothing was marked of. Single-use ones are spent.
    pub fn remove(&mut self, count: u32, single: bool) {
        let mut left = count;
        for (from, marked) in [
            (&mut self.good, false),
            (&mut self.eased, false),
            (&mut self.spent, false),
            (&mut self.marked, true),
        ] {
            let taken = left.min(*from);
            *from -= taken;
            left -= taken;
            match (single, marked) {
                (true, _) => {}
                (false, false) => self.off += taken,
                (false, true) => self.off_marked += taken,
            }
        }
    }

    /// Puts so many on, never used ones first; no more than there are of it may be on.
    pub fn fit(&mut self, count: u32, qty: u32, single: bool) {
        let mut left = count.min(qty.saturating_sub(self.on()));
        let fresh = left.min(self.fresh);
        self.fresh -= fresh;
        self.good += fresh;
        left -= fresh;
        if single {
            self.spent += left;
            return;
        }
        let plain = left.min(self.off);
        self.off -= plain;
        self.good += plain;
        left -= plain;
        let marked = left.min(self.off_marked);
        self.off_marked -= marked;
        self.marked += marked;
        // What there can't be any more of is there all the same: its finding is another.
        self.good += left - marked;
    }
}

/// Numbers for what leaves stand for.
#[derive(Debug)]
pub struct Numbers<T> {
    numbers: BTreeMap<T, u32>,
    all: Vec<T>,
}

impl<T> Default for Numbers<T> {
    fn default() -> Self {
        Numbers {
            numbers: BTreeMap::new(),
            all: Vec::new(),
        }
    }
}

impl<T: Clone + Ord> Numbers<T> {
    pub fn number(&mut self, value: T) -> u32 {
        if let Some(number) = self.numbers.get(&value) {
            return *number;
        }
        let number = self.all.len() as u32;
        self.numbers.insert(value.clone(), number);
        self.all.push(value);
        number
    }

    pub fn get(&self, number: u32) -> Option<T> {
        self.all.get(number as usize).cloned()
    }
}
