//! Numbers that depend on nothing but a seed.

/// A generator of numbers (SplitMix64, of G. L. Steele, D. Lea and C. H. Flood, 2014).
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Chance {
        Chance(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `most`; 0 if there is none.
    pub fn below(&mut self, most: usize) -> usize {
        (self.next() % (most.max(1) as u64)) as usize
    }

    /// One of some; `None` if there are none.
    pub fn one<'a, T>(&mut self, all: &'a [T]) -> Option<&'a T> {
        all.get(self.below(all.len()))
    }
}
