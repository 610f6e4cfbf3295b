//! Safety signs of ISO 7010, by number.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::table;

const SIGNS: &str = include_str!("../../tables/signs.csv");
const KINDS: &str = include_str!("../../tables/sign-kinds.csv");

/// A sign.
#[derive(Clone, Debug, Deserialize)]
pub struct Sign {
    /// Its number: `M004`.
    pub code: String,
    /// What it says, in our words.
    pub meaning: String,
    /// Where it is from.
    pub source: String,
}

/// A kind of sign, by the letter its numbers start with.
#[derive(Clone, Debug, Deserialize)]
pub struct SignKind {
    /// `M`, `P`, `W`, `E` or `F`.
    pub letter: String,
    /// `mandatory sign` …
    pub kind: String,
    /// Shape and colours.
    pub look: String,
    /// Where it is from.
    pub source: String,
}

/// Every sign the tables hold.
pub fn signs() -> &'static [Sign] {
    static ROWS: OnceLock<Vec<Sign>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("signs.csv", SIGNS))
}

/// The sign of a number, if the tables hold it.
pub fn sign(code: &str) -> Option<&'static Sign> {
    signs().iter().find(|sign| sign.code.eq_ignore_ascii_case(code.trim()))
}

/// Every kind of sign.
pub fn sign_kinds() -> &'static [SignKind] {
    static ROWS: OnceLock<Vec<SignKind>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("sign-kinds.csv", KINDS))
}

impl Sign {
    /// What kind it is; `None` only for a number with a letter nobody uses.
    pub fn kind(&self) -> Option<&'static SignKind> {
        sign_kinds().iter().find(|kind| self.code.starts_with(&kind.letter))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sign_is_sourced_and_of_a_kind() {
        table::assert_sourced("signs.csv", SIGNS);
        table::assert_sourced("sign-kinds.csv", KINDS);
        for sign in signs() {
            assert!(sign.kind().is_some(), "{}", sign.code);
        }
        assert_eq!(
            sign("m004").map(|sign| sign.meaning.as_str()),
            Some("wear eye protection")
        );
        assert!(sign("X001").is_none());
    }
}
