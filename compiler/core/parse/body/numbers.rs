//! The numbers that steps were written with. Markdown keeps the first of a list alone, and the card counts by itself.

use super::Reader;
use crate::parse::rules::skipped_number;
use crate::parse::texts::{slice, split_digits};
use std::ops::Range;

/// A number as written, and where.
#[derive(Clone)]
pub(super) struct Numbered {
    at: Range<usize>,
    number: u64,
}

impl Reader<'_> {
    /// The number of an item; `None` if it is a bullet.
    pub(super) fn numbered(&self, item: Range<usize>) -> Option<Numbered> {
        let words = slice(self.src, item.clone());
        let start = item.start + words.len() - words.trim_start().len();
        let (digits, _) = split_digits(words.trim_start());
        let number = digits.parse().ok()?;
        Some(Numbered {
            at: start..start + digits.len(),
            number,
        })
    }

    /// Tells of numbers of a list that are not the next. `above` is the last number of a list that this one may go on with.
    pub(super) fn counted(&mut self, items: &[Numbered], above: Option<Numbered>) {
        let Some(first) = items.first() else { return };
        let steps: Vec<i128> = items
            .iter()
            .zip(items.iter().skip(1))
            .map(|(one, next)| i128::from(next.number) - i128::from(one.number))
            .collect();
        let counts = steps.contains(&1);
        // Each as `1.`, which leaves the counting to Markdown; or by tens, which leaves room.
        let even = !counts && steps.len() > 1 && steps.iter().all(|step| Some(step) == steps.first());
        // A list behind a message begins anew or counts on.
        let mut above = above.filter(|_| first.number != 1);
        let mut told = None;
        for item in items.iter().filter(|_| !even) {
            if let Some(last) = &above
                && item.number != last.number + 1
                && told != Some(item.number)
                && (counts || item.number > last.number)
                // A step that was put aside in a comment has its number there.
                && !slice(self.src, last.at.end..item.at.start).contains("<!--")
            {
                let finding = skipped_number::finding(self.span(item.at.clone()), item.number, last.number);
                self.findings.push(finding);
                told = Some(item.number);
            }
            above = Some(item.clone());
        }
    }
}
