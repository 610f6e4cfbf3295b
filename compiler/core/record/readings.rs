//! Readings against limits, and the figures that are worked out from them.

use super::form::{Form, ReadingBox};
use super::judge::Judge;
use super::overload;
use super::read::{Entry, Fields, text};
use super::{FindingKind, Reading, Verdict};
use crate::check::calc::{Calc, grid};
use crate::domain::calc::{Grid, Value, share, words, work_out};
use crate::domain::limit::Limit;
use crate::domain::quantity::{Figure, Measure, Rounding, round_to_place};
use crate::model::Handle;
use crate::model::registers::Measurement;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The readings of each measurement, place by place; the last step that took it counts.
pub type Known = BTreeMap<Handle<Measurement>, Vec<Option<Measure>>>;

/// Judges every reading of a form, in its order, and adds them to those that are known from other cards.
pub fn readings(judge: &mut Judge, form: &Form, known: &mut Known) -> Vec<Reading> {
    let mut rows = Vec::new();
    for (n, reading) in form.readings.iter().enumerate() {
        let written = judge.written(form, n, reading);
        let calc = judge.facts.calcs.calcs.get(&reading.limit);
        let values: Vec<Option<Measure>> = match calc {
            None => written
                .iter()
                .map(|entry| match overload::behind(&entry.text) {
                    Some(_) => None,
                    None => judge.measure(reading, entry),
                })
                .collect(),
            Some(calc) => worked_out(judge, reading, calc, &written, known, &mut rows),
        };
        if calc.is_none() {
            for ((place, entry), value) in reading.places.names().iter().zip(&written).zip(&values) {
                let row = match overload::behind(&entry.text) {
                    Some(_) => judge.overload(reading, place, entry),
                    None => judge.row(reading, place, entry, value.as_ref(), String::new()),
                };
                rows.push(row);
            }
        }
        known.insert(reading.limit, values);
    }
    rows
}

/// Works out a calculation at each place and judges what it gives; what was written by hand is compared, and stands where the
/// readings are on another card.
fn worked_out(
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
        let Some(results) = results(judge, reading, calc, known, place) else {
            // A reading that is missing has been told; a figure by hand stands in for readings of another card.
            let told = judge.told();
            let mut row = judge.row(reading, name, &entry, by_hand.as_ref(), String::new());
            if by_hand.is_none() && calc.readings.values().all(|r| known.contains_key(r)) {
                judge.untell(told);
                row.verdict = Verdict::Missing;
            }
            rows.push(row);
            values.push(by_hand);
            continue;
        };
        let shown: Vec<String> = results.iter().map(|r| r.shown.to_string()).collect();
        let shown = shown.join(", ");
        let line = working(judge, reading, calc, known, place);
        let fault = by_hand
            .as_ref()
            .and_then(|hand| judge.by_hand(reading, hand, &results, &shown));
        let worst = judge.worst(reading, &results);
        let out = by_hand
            .clone()
            .filter(|hand| judge.allows(reading, hand) == Some(false));
        let written = Entry {
            text: shown.clone(),
            line: entry.line,
        };
        let judged = out.or(worst.clone());
        let mut row = judge.row(reading, name, &written, judged.as_ref(), format!("{line} = {shown}"));
        row.value = by_hand.as_ref().map_or(shown, ToString::to_string);
        row.converted = String::new();
        if let Some(words) = fault {
            let name = judge.named(reading, name);
            judge.tell(FindingKind::Differs, entry.line, format!("{name} {words}"));
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

/// What a calculation gives at a place; `None` where a reading is missing.
fn results(judge: &Judge, reading: &ReadingBox, calc: &Calc, known: &Known, place: usize) -> Option<Vec<Worked>> {
    let limit = judge.limit(reading)?;
    let of = |name: &str| {
        let (measures, columns) = part(judge, reading, calc, known, place, name)?;
        Value::readings(&measures, columns)
    };
    let value = work_out(&calc.node, &of)?;
    let exact = value.exact(limit.unit())?;
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
        let rounded = |place| of(round_to_place(figure, place, Rounding::Nearest));
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
    Some(exact.into_iter().map(worked).collect())
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
    let values = known.get(handle)?;
    let measures = share
        .cells
        .iter()
        .map(|cell| values.get(*cell)?.clone())
        .collect::<Option<Vec<_>>>()?;
    Some((measures, share.columns))
}

/// The calculation with its figures put in.
fn working(judge: &Judge, reading: &ReadingBox, calc: &Calc, known: &Known, place: usize) -> String {
    words(
        &calc.node,
        &|name| match part(judge, reading, calc, known, place, name) {
            Some((measures, _)) => measures.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "),
            None => name.to_string(),
        },
    )
}

impl Judge<'_> {
    /// What was written in the boxes of a measurement, place by place. Entries are told apart by id and step.
    fn written(&mut self, form: &Form, n: usize, reading: &ReadingBox) -> Vec<Entry> {
        let id = &self.set.catalogue.limits.get(reading.limit).id.text;
        let same = |fields: &Fields| text(fields, "limit") == id && text(fields, "step") == reading.step;
        // A step may take the same measurement twice: the boxes then stand in the same order.
        let before = form.readings.iter().take(n);
        let skip = before
            .filter(|b| b.limit == reading.limit && b.step == reading.step)
            .count();
        let found = self.filled.readings.iter().filter(|(fields, _)| same(fields)).nth(skip);
        let names = reading.places.names();
        let Some((fields, values)) = found else {
            return vec![Entry::default(); names.len()];
        };
        let of = |place: &String| match values.get(place) {
            Some(entry) => entry.clone(),
            None if names.len() == 1 => fields.get("value").cloned().unwrap_or_default(),
            None => Entry::default(),
        };
        names.iter().map(of).collect()
    }

    pub(super) fn limit(&self, reading: &ReadingBox) -> Option<&Limit> {
        self.set.catalogue.limits[reading.limit]
            .limit
            .as_ref()
            .map(|l| &l.value)
    }

    /// A reading as a measure: a bare figure is in the unit of the limit. What can't be read is told.
    fn measure(&mut self, reading: &ReadingBox, entry: &Entry) -> Option<Measure> {
        let limit = self.limit(reading)?;
        if entry.text.is_empty() {
            return None;
        }
        let bare = Decimal::from_str_exact(entry.text.trim()).is_ok();
        let written = if bare {
            format!("{} {}", entry.text, limit.unit())
        } else {
            entry.text.clone()
        };
        match Measure::parse_any_of(&written, &[limit.dimension()]) {
            Ok(measure) => Some(measure),
            Err(error) => {
                let words = format!("`{}`: {}; {}", entry.text, error.message(), error.help());
                self.tell(FindingKind::Unreadable, entry.line, words);
                None
            }
        }
    }

    /// Of several results the first that is out of limits, else the first.
    fn worst(&self, reading: &ReadingBox, results: &[Worked]) -> Option<Measure> {
        let out = results.iter().find(|r| self.allows(reading, &r.shown) == Some(false));
        out.or(results.first()).map(|r| r.shown.clone())
    }

    fn allows(&self, reading: &ReadingBox, value: &Measure) -> Option<bool> {
        self.limit(reading)?.bounds().allow(value)
    }

    /// What is wrong with a figure worked out by hand: it must be what its readings give, rounded to the digits written, and those
    /// must be as many as the limit's own.
    fn by_hand(&self, reading: &ReadingBox, hand: &Measure, results: &[Worked], shown: &str) -> Option<String> {
        let limit = self.limit(reading)?;
        // All that rounds to what is written lies half of its last digit below or above.
        let half = Decimal::new(5, (hand.value().scale() + 1).min(28));
        let end = |value: Option<Decimal>| hand.unit().convert(value?, limit.unit());
        let low = end(hand.value().checked_sub(half))?;
        let high = end(hand.value().checked_add(half))?;
        if !results.iter().any(|r| low <= r.exact && r.exact <= high) {
            return Some(format!("is {hand} by hand, and its readings give {shown}"));
        }
        let bounds = [&limit.bounds().low, &limit.bounds().high];
        let digits = bounds.into_iter().flatten().map(|b| b.value().scale()).max()?;
        let finest = Decimal::new(1, digits);
        (high.checked_sub(low)? > finest).then(|| {
            format!(
                "is {hand} by hand, and its readings give {shown}: write it to {finest} {}",
                limit.unit()
            )
        })
    }

    /// `gap under the worm cover, top (step 4.6)`
    pub(super) fn named(&self, reading: &ReadingBox, place: &str) -> String {
        let name = &self.set.catalogue.limits[reading.limit].name;
        let place = if place.is_empty() {
            String::new()
        } else {
            format!(", {place}")
        };
        format!("{name}{place} (step {})", reading.step)
    }

    /// Judges one box and tells what is wrong with it.
    pub(super) fn row(
        &mut self,
        reading: &ReadingBox,
        place: &str,
        entry: &Entry,
        value: Option<&Measure>,
        working: String,
    ) -> Reading {
        let def = self.set.catalogue.limits.get(reading.limit);
        let (id, record) = (def.id.text.clone(), def.value.record);
        let limit = self.limit(reading).cloned();
        let range = limit.as_ref().and_then(Limit::worked_out);
        let name = self.named(reading, place);
        let allowed = value.and_then(|v| limit.as_ref()?.bounds().allow(v));
        let converted = value
            .zip(limit.as_ref())
            .filter(|(value, limit)| value.unit() != limit.unit())
            .and_then(|(value, limit)| value.in_unit(limit.unit(), Rounding::Nearest));
        let verdict = match (value, allowed) {
            (Some(value), Some(false)) => {
                let limit = limit.as_ref().map_or_else(String::new, ToString::to_string);
                let in_figures = range.as_ref().map_or_else(String::new, |r| format!(" ({r})"));
                let also = converted.as_ref().map_or_else(String::new, |c| format!(" ({c})"));
                let words = format!("{name} is {value}{also}, and the limit is {limit}{in_figures}");
                self.tell(FindingKind::OutOfLimits, entry.line, words);
                Verdict::Fail
            }
            (Some(_), _) => Verdict::Pass,
            (None, _) if self.is_deferred(&id, &reading.step) => Verdict::Deferred,
            // What can't be read has been told already.
            (None, _) if !entry.text.is_empty() => Verdict::Missing,
            (None, _) if !record => Verdict::Empty,
            (None, _) => {
                self.tell(FindingKind::Missing, entry.line, format!("{name} is missing"));
                Verdict::Missing
            }
        };
        let def = self.set.catalogue.limits.get(reading.limit);
        Reading {
            id,
            name: def.value.name.clone(),
            step: reading.step.clone(),
            place: place.to_string(),
            limit: limit.as_ref().map_or_else(String::new, ToString::to_string),
            range: range.unwrap_or_default(),
            value: value.map_or_else(String::new, ToString::to_string),
            converted: converted.map_or_else(String::new, |c| c.to_string()),
            working,
            verdict,
        }
    }
}
