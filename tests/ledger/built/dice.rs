//! Numbers for random sets.

/// Numbers by a seed (Steele, Lea, Flood 2014: splitmix, from memory). The same on every machine.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0xD1B5_4A32_D192_ED03)
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Below a number.
    pub fn below(&mut self, of: usize) -> usize {
        (self.next() % of.max(1) as u64) as usize
    }

    /// True in so many of a hundred.
    pub fn percent(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }
}
