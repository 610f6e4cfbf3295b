//! `OL` in a box: what a meter shows when a reading is beyond its range. It is a reading, never a figure: it passes or fails only where
//! the end of that range is known, from the entry (`OL 40 MΩ`) or from the gauge's own range.

use super::form::ReadingBox;
use super::judge::Judge;
use super::read::Entry;
use super::unreadable::unreadable;
use super::{FindingKind, Reading, Verdict};
use crate::cards::limit_said;
use crate::domain::limit::Bounds;
use crate::domain::quantity::Measure;
use crate::words::{Phrase, say};
use std::cmp::Ordering;

/// What follows `OL`, without the space around it; `None` if the entry is no overload.
pub(super) fn behind(text: &str) -> Option<&str> {
    let text = text.trim();
    let (word, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    let letters: String = word.chars().filter(|letter| *letter != '.').collect();
    let known = letters.eq_ignore_ascii_case("OL") || letters.eq_ignore_ascii_case("OVLD");
    known.then(|| rest.trim())
}

/// What a reading beyond the end of a range makes of bounds.
#[derive(Debug, PartialEq, Eq)]
enum Beyond {
    Inside,
    Outside,
    /// The range ends too soon to tell.
    Unknown,
}

fn judged(bounds: &Bounds, end: &Measure) -> Beyond {
    let reaches = |bound: &Measure| match end.compare(bound) {
        Some(Ordering::Greater | Ordering::Equal) => Some(true),
        Some(Ordering::Less) => Some(false),
        None => None,
    };
    match (&bounds.low, &bounds.high) {
        (_, Some(high)) if reaches(high) == Some(true) => Beyond::Outside,
        (Some(low), None) if reaches(low) == Some(true) => Beyond::Inside,
        _ => Beyond::Unknown,
    }
}

impl Judge<'_> {
    /// Judges a box that says `OL` and tells what is wrong with it.
    pub(super) fn overload(&mut self, reading: &ReadingBox, place: &str, entry: &Entry) -> Reading {
        let mut row = self.row(reading, place, entry, None, Phrase::default());
        row.value = entry.text.trim().into();
        let Some(limit) = self
            .limit(reading)
            .cloned()
            .filter(|_| row.verdict != Verdict::Deferred)
        else {
            return row;
        };
        let name = self.named(reading, place);
        let written = behind(&entry.text).filter(|end| !end.is_empty());
        let end = match written {
            Some(text) => match Measure::parse_any_of(text, &[limit.dimension()]) {
                Ok(end) => Some(end),
                Err(error) => {
                    self.tell(FindingKind::Unreadable, entry.line, unreadable(&entry.text, &error));
                    return row;
                }
            },
            None => self.range_end(reading),
        };
        let Some(end) = end else {
            let words = say::beyond_the_meter(name, &row.value, limit.unit().to_string());
            self.tell(FindingKind::Unreadable, entry.line, words);
            return row;
        };
        match judged(limit.bounds(), &end) {
            Beyond::Inside => row.verdict = Verdict::Pass,
            Beyond::Outside => {
                row.verdict = Verdict::Fail;
                let words = say::beyond_the_range(name, &row.value, end.to_string(), limit_said(&limit));
                self.tell(FindingKind::OutOfLimits, entry.line, words);
            }
            Beyond::Unknown => {
                let words = say::range_ends_too_soon(name, &row.value, end.to_string(), limit_said(&limit));
                self.tell(FindingKind::Unreadable, entry.line, words);
            }
        }
        row
    }

    /// Where the range of the gauge ends, if it is known and of the limit's dimension.
    fn range_end(&self, reading: &ReadingBox) -> Option<Measure> {
        let gauge = self.set.links.gauges.get(&reading.limit)?;
        let range = self.set.catalogue.tools[*gauge].range.as_ref()?;
        Some(range.value.high().clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::limit::Limit;

    #[test]
    fn only_a_range_that_reaches_the_limit_tells() {
        let judge =
            |limit: &str, end: &str| judged(Limit::parse(limit).unwrap().bounds(), &Measure::parse(end).unwrap());
        assert_eq!(judge("min 20 MΩ", "40 MΩ"), Beyond::Inside);
        assert_eq!(judge("min 20 MΩ", "0.02 GΩ"), Beyond::Inside);
        assert_eq!(judge("min 50 MΩ", "40 MΩ"), Beyond::Unknown);
        assert_eq!(judge("max 5 Ω", "200 Ω"), Beyond::Outside);
        assert_eq!(judge("max 500 Ω", "200 Ω"), Beyond::Unknown);
        assert_eq!(judge("1..2 kΩ", "2 kΩ"), Beyond::Outside);
        assert_eq!(judge("1..2 kΩ", "1.5 kΩ"), Beyond::Unknown);
        assert_eq!(judge("min 1 MΩ", "600 V"), Beyond::Unknown);
    }

    #[test]
    fn an_overload_by_any_spelling() {
        assert_eq!(behind("OL"), Some(""));
        assert_eq!(behind(" O.L. 40 MΩ "), Some("40 MΩ"));
        assert_eq!(behind("ol"), Some(""));
        assert_eq!(behind("0.4 Ω"), None);
        assert_eq!(behind("OLD"), None);
    }
}
