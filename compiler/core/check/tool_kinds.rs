//! The kinds of tools that mean something, and what such a tool gives.

use crate::check::hazardous_tools::kinds;
use crate::finding::did_you_mean;

/// What a tool of a kind gives or reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gives {
    Torque,
    Angle,
    /// No kind in particular.
    Anything,
    /// Neither a torque nor an angle.
    Other,
}

/// The kinds of the language that bring no hazard; those that do are a table.
const KINDS: [(&str, Gives); 10] = [
    ("torque-wrench", Gives::Torque),
    ("angle-gauge", Gives::Angle),
    ("micrometer", Gives::Other),
    ("bore-gauge", Gives::Other),
    ("dial-indicator", Gives::Other),
    ("feeler", Gives::Other),
    ("depth-gauge", Gives::Other),
    ("caliper", Gives::Other),
    ("gauge", Gives::Anything),
    ("other", Gives::Anything),
];

/// Every kind of the language.
pub fn known() -> impl Iterator<Item = &'static str> {
    let mut all: Vec<&str> = KINDS.iter().map(|(kind, _)| *kind).chain(kinds()).collect();
    all.sort_unstable();
    all.dedup();
    all.into_iter()
}

/// What a tool of this kind gives; `None` if the kind is the author's own.
pub fn gives(kind: &str) -> Option<Gives> {
    let own = KINDS.iter().find(|(known, _)| known.eq_ignore_ascii_case(kind));
    let hazardous = || kinds().find(|known| known.eq_ignore_ascii_case(kind));
    own.map(|(_, gives)| *gives)
        .or_else(|| hazardous().map(|_| Gives::Other))
}

/// The known kind that an unknown one is most likely a slip of. Slips seldom begin with another letter, and without that a rack would be
/// a jack.
pub fn slip_of(kind: &str) -> Option<&'static str> {
    let kind = usual(kind);
    if gives(&kind).is_some() {
        return None;
    }
    let known = KINDS.iter().map(|(known, _)| *known).chain(kinds());
    did_you_mean(&kind, known.filter(|known| known.chars().next() == kind.chars().next()))
}

/// True of a kind of the language, however it is spelt, and of none at all.
pub fn is_known(kind: &str) -> bool {
    kind.is_empty() || gives(&usual(kind)).is_some()
}

/// The known kind that stands in a longer one, `hoist` in `chain-hoist`; the longest where there are several.
pub fn named_in(kind: &str) -> Option<&'static str> {
    let between = |text: &str| format!("-{}-", usual(text).replace([' ', '_'], "-"));
    let whole = between(kind);
    known()
        .filter(|known| whole.contains(&between(known)))
        .max_by_key(|known| known.len())
}

/// A kind in small letters and the spelling of the language.
fn usual(kind: &str) -> String {
    kind.to_lowercase()
        .replace("gage", "gauge")
        .replace("calliper", "caliper")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_known_and_other_kinds_left_alone() {
        assert_eq!(slip_of("hoits"), Some("hoist"));
        assert_eq!(slip_of("Torque wrench"), Some("torque-wrench"));
        for fine in ["", "hoist", "Hoist", "rack", "scraper", "bore-gage", "calliper"] {
            assert_eq!(slip_of(fine), None, "{fine}");
        }
        assert_eq!(named_in("Chain hoist"), Some("hoist"));
        assert_eq!(named_in("feeler-gage"), Some("feeler"));
        assert_eq!(named_in("impression"), None);
    }
}
