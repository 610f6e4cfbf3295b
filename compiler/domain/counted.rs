//! A number and what it counts, in English: what a terminal prints. The words of leaves agree by their tables.

use std::fmt::Display;

/// `1 step`, `2 steps`, `0 steps`.
pub fn counted<N: Display + PartialEq + From<u8>>(count: N, one: &str, other: &str) -> String {
    let word = if count == N::from(1) { one } else { other };
    format!("{count} {word}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_one() {
        assert_eq!(counted(1_usize, "leaf", "leaves"), "1 leaf");
        assert_eq!(counted(0_u32, "leaf", "leaves"), "0 leaves");
        assert_eq!(counted(21_u64, "leaf", "leaves"), "21 leaves");
    }
}
