//! Figures that are worked out from readings, and what was worked out by hand.

use super::form::ReadingBox;
use super::judge::{Judge, Known};
use super::read::Entry;
use super::{FindingKind, Reading, Verdict};
use crate::check::calc::{Calc, grid};
use crate::domain::calc::{Grid, NodeKind, Stuck, Value, share, work_out};
use crate::domain::quantity::{Figure, Measure, Rounding, round_to_place};
use crate::words::formula::words as formula;
use crate::words::{Phrase, joined, phrase, say};
use rust_decimal::Decimal;

/// Works out a calculation at each place and judges what it gives; what was written by hand is compared, and stands where the
/// readings are on another card.
pub(super) fn worked_out(
    judge: &mut Judge,
    reading: &ReadingBox,
    calc: &Calc,
    written: &[Entry],
    known: &Known,
    rows: &mut Vec<Reading>,
) -> Vec<Option<Measure>> {
    let mut values = Vec::new();
    for (place, name) in reading.places.names().iter().enumerate() {
        let entry = written.get(place).cloned().unwrap_or_default();
        let by_hand = judge.measure(reading, &entry);
        let results = match results(judge, reading, calc, known, place) {
            Ok(results) => results,
            // No figure by hand can be right where there is none.
            Err(why) if why != Stuck::Missing => {
                rows.push(judge.not_worked_out(reading, name, &entry, why));
                values.push(None);
                continue;
            }
            // A reading that is missing has been told; a figure by hand stands in for readings of another card.
            Err(_) => {
                let told = judge.told();
                let mut row = judge.row(reading, name, &entry, by_hand.as_ref(), Phrase::default());
                if by_hand.is_none()
                    && calc
                        .readings
                        .values()
                        .all(|r| known.keys().any(|(limit, _)| limit == r))
                {
                    judge.untell(told);
                    row.verdict = Verdict::Missing;
                }
                rows.push(row);
                values.push(by_hand);
                continue;
            }
        };
        let shown: Vec<String> = results.iter().map(|r| r.shown.to_string()).collect();
        let shown = shown.join(", ");
        let line = working(judge, reading, calc, known, place);
        let fault = by_hand.as_ref().and_then(|hand| {
            judge.by_hand(
                reading,
                hand,
                &results,
                &shown,
                is_heat(calc),
                judge.named(reading, name),
            )
        });
        let worst = judge.worst(reading, &results);
        let out = by_hand
            .clone()
            .filter(|hand| judge.allows(reading, hand) == Some(false));
        let written = Entry {
            text: shown.clone(),
            line: entry.line,
        };
        let judged = out.or(worst.clone());
        let mut row = judge.row(
            reading,
            name,
            &written,
            judged.as_ref(),
            phrase!(line, " = ", Phrase::figure(&shown)),
        );
        row.value = by_hand
            .as_ref()
            .map_or_else(|| Phrase::figure(&shown), |hand| hand.to_string().into());
        row.converted = Phrase::default();
        if let Some(words) = fault {
            judge.tell(FindingKind::Differs, entry.line, words);
            row.verdict = Verdict::Fail;
        }
        rows.push(row);
        values.push(worst);
    }
    values
}

/// One figure that a calculation gives, in the unit of the limit.
struct Worked {
    exact: Decimal,
    shown: Measure,
}

/// A temperature to heat to is rounded up: a part that is too cold sticks halfway.
fn is_heat(calc: &Calc) -> bool {
    matches!(calc.node.kind, NodeKind::Heat(..))
}

/// What a calculation gives at a place.
///
/// # Errors
/// Why it gives nothing.
fn results(
    judge: &Judge,
    reading: &ReadingBox,
    calc: &Calc,
    known: &Known,
    place: usize,
) -> Result<Vec<Worked>, Stuck> {
    let limit = judge.limit(reading).ok_or(Stuck::Missing)?;
    let of = |name: &str| {
        let (measures, columns) = part(judge, reading, calc, known, place, name)?;
        Value::readings(&measures, columns)
    };
    let value = work_out(&calc.node, &of)?;
    let exact = value.exact(limit.unit()).ok_or(Stuck::OutOfRange)?;
    let rounding = if is_heat(calc) { Rounding::Up } else { Rounding::Nearest };
    // To a digit more than the limit's own, or exact where it is no longer than that.
    let bounds = [&limit.bounds().low, &limit.bounds().high];
    let place = bounds
        .into_iter()
        .flatten()
        .map(|b| b.figure().place())
        .min()
        .unwrap_or(0)
        - 1;
    let of = |figure: Decimal| Measure::new(Figure::computed(figure), limit.unit());
    let shown = |figure: Decimal| {
        let verdict = limit.bounds().allow(&of(figure));
        // As many digits as it takes to see on which side of the limit it lies.
        let mut places = (place - 12..=place).rev();
        let rounded = |place| of(round_to_place(figure, place, rounding));
        let enough = places.find(|place| limit.bounds().allow(&rounded(*place)) == verdict);
        match enough.map(rounded) {
            Some(rounded) if rounded.value() != figure => rounded,
            _ => of(figure.normalize()),
        }
    };
    let worked = |exact| Worked {
        exact,
        shown: shown(exact),
    };
    Ok(exact.into_iter().map(worked).collect())
}

/// The readings of a name that belong to a place, and in how many columns.
fn part(
    judge: &Judge,
    reading: &ReadingBox,
    calc: &Calc,
    known: &Known,
    place: usize,
    name: &str,
) -> Option<(Vec<Measure>, usize)> {
    let handle = calc.readings.get(name)?;
    let source: Grid = grid(&judge.set.catalogue.limits[*handle]);
    let share = share(&reading.places, &source, place)?;
    // Member to member; what has none serves all.
    let of = |member: &str| known.get(&(*handle, member.to_string()));
    let values = of(&reading.member).or_else(|| of(""))?;
    let measures = share
        .cells
        .iter()
        .map(|cell| values.get(*cell)?.clone())
        .collect::<Option<Vec<_>>>()?;
    Some((measures, share.columns))
}

/// The calculation with its figures put in.
fn working(judge: &Judge, reading: &ReadingBox, calc: &Calc, known: &Known, place: usize) -> Phrase {
    formula(
        &calc.node,
        &|name| match part(judge, reading, calc, known, place, name) {
            Some((measures, _)) => joined(measures.iter().map(ToString::to_string), ", "),
            None => Phrase::from(name),
        },
    )
}

impl Judge<'_> {
    /// Of several results the first that is out of limits, else the first.
    fn worst(&self, reading: &ReadingBox, results: &[Worked]) -> Option<Measure> {
        let out = results.iter().find(|r| self.allows(reading, &r.shown) == Some(false));
        out.or(results.first()).map(|r| r.shown.clone())
    }

    /// What is wrong with a figure worked out by hand: it must be what its readings give, rounded to the digits written, and those
    /// must be as many as the limit's own.
    /// Where it is to be rounded up, that will do as well.
    fn by_hand(
        &self,
        reading: &ReadingBox,
        hand: &Measure,
        results: &[Worked],
        shown: &str,
        up: bool,
        name: Phrase,
    ) -> Option<Phrase> {
        let limit = self.limit(reading)?;
        // All that rounds to what is written lies half of its last digit below or above.
        let half = Decimal::new(5, (hand.value().scale() + 1).min(28));
        let end = |value: Option<Decimal>| hand.unit().convert(value?, limit.unit());
        let low = end(hand.value().checked_sub(half))?;
        let high = end(hand.value().checked_add(half))?;
        let below = match up {
            true => end(hand.value().checked_sub(half).and_then(|low| low.checked_sub(half)))?,
            false => low,
        };
        if !results.iter().any(|r| below <= r.exact && r.exact <= high) {
            return Some(say::differs_by_hand(name, hand.to_string(), Phrase::figure(shown)));
        }
        let bounds = [&limit.bounds().low, &limit.bounds().high];
        let digits = bounds.into_iter().flatten().map(|b| b.value().scale()).max()?;
        let finest = Decimal::new(1, digits);
        (high.checked_sub(low)? > finest).then(|| {
            let finest = Phrase::figure(format!("{finest} {}", limit.unit()));
            say::coarse_by_hand(name, hand.to_string(), Phrase::figure(shown), finest)
        })
    }

    /// The row of a calculation that has no result.
    fn not_worked_out(&mut self, reading: &ReadingBox, place: &str, entry: &Entry, why: Stuck) -> Reading {
        let told = self.told();
        let mut row = self.row(reading, place, entry, None, Phrase::default());
        self.untell(told);
        let name = self.named(reading, place);
        let words = match why {
            Stuck::Missing => say::stuck_missing(name),
            Stuck::DividedByZero => say::stuck_divided_by_zero(name),
            Stuck::NoSize => say::stuck_no_size(name),
            Stuck::OutOfRange => say::stuck_out_of_range(name),
        };
        self.tell(FindingKind::NotWorkedOut, entry.line, words);
        row.value = (&entry.text).into();
        row.verdict = Verdict::Fail;
        row
    }
}
