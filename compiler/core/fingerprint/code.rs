//! The code's characters: 32 that can't be taken for one another, and a check on what was typed, which also tells one form of codes from
//! another.

use super::Digest;
use std::fmt;

/// Digits and letters without I, L, O and U; the place of a character is its value.
const ALPHABET: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// Characters of a code, the last of them the check.
const LENGTH: usize = 8;

/// The form of codes. What the check of one begins with: no text is a code of two forms.
pub const FORM: u8 = 3;

/// The same of earlier forms: when codes stood for the sources of a card rather than for the leaf itself, when they stood for English
/// words rather than for keys of the tables, and when a card repeated at its end what stands at its steps.
const EARLIER_FORMS: [u8; 3] = [0, 1, 2];

/// A leaf's fingerprint, printed `WD47-9V4K`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Code([u8; LENGTH]);

/// Why a text is no code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Misread {
    /// So many characters instead of eight.
    Length(usize),
    /// A character that no code has.
    Character(char),
    /// The characters don't go together: one was misread, or two were swapped.
    Check,
    /// A code of an earlier form: what it stood for can't be told any more.
    Older,
}

impl Code {
    /// The code of a digest.
    pub fn of(digest: &Digest) -> Code {
        let bits = digest
            .iter()
            .take(5)
            .fold(0u64, |bits, byte| bits << 8 | u64::from(*byte))
            >> 5;
        let mut values = [0; LENGTH];
        for (n, value) in values.iter_mut().take(LENGTH - 1).enumerate() {
            *value = (bits >> (5 * (LENGTH - 2 - n)) & 31) as u8;
        }
        values[LENGTH - 1] = check(FORM, &values[..LENGTH - 1]);
        Code(values)
    }

    /// Reads a code as typed: in any case, with or without hyphens and spaces, O for 0 and I or L for 1.
    ///
    /// # Errors
    /// If it has another length, a character that no code has, fails its check, or is of an older form.
    pub fn parse(text: &str) -> Result<Code, Misread> {
        let mut typed = Vec::new();
        for c in text.chars().filter(|c| !c.is_whitespace() && !"-‐‑–".contains(*c)) {
            let plain = match c.to_ascii_uppercase() {
                'O' => '0',
                'I' | 'L' => '1',
                other => other,
            };
            let value = ALPHABET.iter().position(|a| char::from(*a) == plain);
            typed.push(value.ok_or(Misread::Character(c))? as u8);
        }
        let values: [u8; LENGTH] = typed
            .try_into()
            .map_err(|typed: Vec<u8>| Misread::Length(typed.len()))?;
        let (said, last) = (&values[..LENGTH - 1], values[LENGTH - 1]);
        match last {
            last if last == check(FORM, said) => Ok(Code(values)),
            last if EARLIER_FORMS.into_iter().any(|form| last == check(form, said)) => Err(Misread::Older),
            _ => Err(Misread::Check),
        }
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        for (n, value) in self.0.iter().enumerate() {
            if n == LENGTH / 2 {
                f.write_str("-")?;
            }
            let sign = ALPHABET.get(usize::from(*value & 31)).ok_or(fmt::Error)?;
            write!(f, "{}", char::from(*sign))?;
        }
        Ok(())
    }
}

impl fmt::Display for Misread {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Misread::Length(n) => write!(f, "a code has {LENGTH} characters, this has {n}"),
            Misread::Character(c) => write!(f, "no code has `{c}` in it"),
            Misread::Check => f.write_str("a character was misread, or two were swapped"),
            Misread::Older => f.write_str("printed by an older form: print again"),
        }
    }
}

/// The check of some values: each is weighted by another power of a generator of the field of 32 elements, so one wrong character
/// or two swapped ones always show.
fn check(form: u8, values: &[u8]) -> u8 {
    values.iter().fold(form, |sum, value| doubled(sum ^ value))
}

/// Multiplies by x modulo x⁵ + x² + 1.
fn doubled(value: u8) -> u8 {
    let shifted = value << 1;
    if shifted & 32 == 0 {
        shifted
    } else {
        shifted ^ 0b10_0101
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_printed_is_read_back_however_it_is_typed() {
        let code = Code::of(&[0xA7; 32]);
        let shown = code.to_string();
        assert_eq!(shown.len(), 9);
        assert_eq!(Code::parse(&shown), Ok(code));
        assert_eq!(Code::parse(&shown.to_lowercase().replace('-', " ")), Ok(code));
        assert_eq!(Code::parse("7K3M"), Err(Misread::Length(4)));
        assert_eq!(Code::parse("7K3M-Q2XU"), Err(Misread::Character('U')));
    }

    #[test]
    fn letters_that_look_like_figures_are_read_as_those() {
        let mut digest = [0; 32];
        digest[0] = 0b0000_1000;
        let code = Code::of(&digest);
        let shown = code.to_string();
        assert!(shown.starts_with("1000-000"), "{shown}");
        for (figure, letters) in [("0", ["O", "o"]), ("1", ["I", "l"]), ("1", ["L", "i"])] {
            for letter in letters {
                assert_eq!(
                    Code::parse(&shown.replace(figure, letter)),
                    Ok(code),
                    "{letter} for {figure}"
                );
            }
        }
    }

    #[test]
    fn what_is_no_code_says_why() {
        for (typed, why) in [
            ("7K3M", "a code has 8 characters, this has 4"),
            ("7K3M-Q2XU", "no code has `U` in it"),
            ("WD47-9V4J", "a character was misread, or two were swapped"),
            ("WD47-9V4K", "printed by an older form: print again"),
        ] {
            assert_eq!(
                Code::parse(typed).map_err(|misread| misread.to_string()),
                Err(why.to_string())
            );
        }
    }

    /// Worked out apart from this program: 35 bits as 7 characters, and the check. What was printed years ago must be known again.
    #[test]
    fn a_digest_has_the_same_code_for_as_long_as_the_form_stands() {
        let mut counted = [0xAB; 32];
        counted[..5].copy_from_slice(&[0x01, 0x23, 0x45, 0x67, 0x89]);
        for (digest, code) in [
            ([0; 32], "0000-000S"),
            (counted, "04HM-ASW0"),
            ([0xFF; 32], "ZZZZ-ZZZN"),
        ] {
            assert_eq!(Code::of(&digest).to_string(), code);
        }
    }

    /// Codes that stood on leaves in the first form and in the second: two of the demo sets' cards each, and leaves of a history.
    #[test]
    fn a_code_of_an_earlier_form_is_told_from_a_mistyped_one() {
        for old in [
            "WD47-9V4K",
            "VXJ8-Z1XZ",
            "K2SM-A05V",
            "NBVE-D8HZ",
            "09G8-MZ3E",
            "48JE-48PP",
        ] {
            assert_eq!(Code::parse(old), Err(Misread::Older), "{old}");
        }
        assert_eq!(Code::parse("WD47-9V4J"), Err(Misread::Check));
    }

    #[test]
    fn each_wrong_character_and_each_swap_shows() {
        for seed in 0..=255u8 {
            let Code(good) = Code::of(&[seed.wrapping_mul(73) ^ 0x5A; 32]);
            let typed =
                |values: &[u8]| -> String { values.iter().map(|v| char::from(ALPHABET[*v as usize])).collect() };
            for at in 0..LENGTH {
                for wrong in (0..32).filter(|w| *w != good[at]) {
                    let mut values = good;
                    values[at] = wrong;
                    assert!(Code::parse(&typed(&values)).is_err());
                }
                for other in (at + 1..LENGTH).filter(|o| good[*o] != good[at]) {
                    let mut values = good;
                    values.swap(at, other);
                    assert!(Code::parse(&typed(&values)).is_err());
                }
            }
        }
    }
}
