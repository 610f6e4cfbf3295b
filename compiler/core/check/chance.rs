//! Numbers that are the same on every machine, for tests of the analysis by chance.

/// Numbers below what is asked for, always the same from one seed.
pub fn chance(seed: u32) -> impl FnMut(usize) -> usize {
    let mut random = seed;
    move |below| {
        random = random.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (random >> 8) as usize % below
    }
}
