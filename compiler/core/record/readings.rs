//! Readings against limits.

use super::form::{Form, ReadingBox};
use super::judge::{Judge, Known};
use super::overload;
use super::read::{Entry, Fields, text};
use super::unreadable::unreadable;
use super::worked::worked_out;
use super::{FindingKind, Reading, Verdict};
use crate::cards::{limit_said, limit_worked_out};
use crate::domain::limit::Limit;
use crate::domain::quantity::{Measure, Rounding};
use crate::words::{Phrase, phrase, say};
use rust_decimal::Decimal;

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
                    None => judge.row(reading, place, entry, value.as_ref(), Phrase::default()),
                };
                rows.push(row);
            }
        }
        known.insert((reading.limit, reading.member.clone()), values);
    }
    rows
}

/// A place with the member that it is of: `left, top`.
fn of_member(member: &str, place: &str) -> String {
    let parts = [member, place].into_iter().filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join(", ")
}

impl Judge<'_> {
    /// What was written in the boxes of a measurement, place by place. Entries are told apart by id and step.
    fn written(&mut self, form: &Form, n: usize, reading: &ReadingBox) -> Vec<Entry> {
        let id = &self.set.catalogue.limits.get(reading.limit).id.text;
        let step = reading.step.to_string();
        let of = |fields: &Fields| text(fields, "limit") == id && text(fields, "step") == step;
        let same = |fields: &Fields| of(fields) && text(fields, "member") == reading.member;
        // A step may take the same measurement twice: the boxes then stand in the same order.
        let before = form.readings.iter().take(n);
        let skip = before
            .filter(|b| b.limit == reading.limit && b.step == reading.step && b.member == reading.member)
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

    /// The limit that the record was begun with; the card's own where the record says none.
    pub(super) fn limit(&self, reading: &ReadingBox) -> Option<&Limit> {
        let def = self.set.catalogue.limits.get(reading.limit);
        let begun = self.begun.limits.get(&def.id.text).map(|(limit, _)| limit);
        begun.or(def.value.limit.as_ref().map(|l| &l.value))
    }

    /// A reading as a measure: a bare figure is in the unit of the limit. What can't be read is told.
    pub(super) fn measure(&mut self, reading: &ReadingBox, entry: &Entry) -> Option<Measure> {
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
                let words = unreadable(&entry.text, &error);
                self.tell(FindingKind::Unreadable, entry.line, words);
                None
            }
        }
    }

    pub(super) fn allows(&self, reading: &ReadingBox, value: &Measure) -> Option<bool> {
        self.limit(reading)?.bounds().allow(value)
    }

    /// `gap under the worm cover, top (step 4.6)`
    pub(super) fn named(&self, reading: &ReadingBox, place: &str) -> Phrase {
        let name = &self.set.catalogue.limits[reading.limit].name;
        let parts = [name, &reading.member, place]
            .into_iter()
            .filter(|part| !part.is_empty());
        say::at_step(parts.collect::<Vec<_>>().join(", "), reading.step.to_string())
    }

    /// Judges one box and tells what is wrong with it.
    pub(super) fn row(
        &mut self,
        reading: &ReadingBox,
        place: &str,
        entry: &Entry,
        value: Option<&Measure>,
        working: Phrase,
    ) -> Reading {
        let def = self.set.catalogue.limits.get(reading.limit);
        let (id, record) = (def.id.text.clone(), def.value.record);
        let limit = self.limit(reading).cloned();
        let range = limit.as_ref().map_or_else(Phrase::default, limit_worked_out);
        let said = limit.as_ref().map_or_else(Phrase::default, limit_said);
        let bounds = match range.is_empty() {
            true => said.clone(),
            false => phrase!(&said, " (", &range, ")"),
        };
        let name = self.named(reading, place);
        let allowed = value.and_then(|v| limit.as_ref()?.bounds().allow(v));
        let converted = value
            .zip(limit.as_ref())
            .filter(|(value, limit)| value.unit() != limit.unit())
            .and_then(|(value, limit)| value.in_unit(limit.unit(), Rounding::Nearest));
        let coarse = value
            .filter(|_| working.is_empty())
            .and_then(|v| self.too_coarse(reading, v));
        let verdict = match (value, allowed) {
            (Some(value), _) if coarse.is_some() => {
                let finest = coarse.map_or_else(String::new, |c| c.to_string());
                let words = say::too_coarse_to_judge(name, value.to_string(), bounds, Phrase::figure(finest));
                self.tell(FindingKind::TooCoarse, entry.line, words);
                Verdict::Coarse
            }
            (Some(value), Some(false)) => {
                let value = Phrase::from(value.to_string());
                let value = match &converted {
                    None => value,
                    Some(converted) => phrase!(value, " (", Phrase::figure(converted.to_string()), ")"),
                };
                self.tell(
                    FindingKind::OutOfLimits,
                    entry.line,
                    say::out_of_limits(name, value, bounds),
                );
                Verdict::Fail
            }
            (Some(_), _) => Verdict::Pass,
            (None, _) if self.is_deferred(&id, &reading.step.to_string()) => Verdict::Deferred,
            // What can't be read has been told already.
            (None, _) if !entry.text.is_empty() => Verdict::Missing,
            (None, _) if !record => Verdict::Empty,
            (None, _) => {
                self.tell(FindingKind::Missing, entry.line, say::is_missing(name));
                Verdict::Missing
            }
        };
        let def = self.set.catalogue.limits.get(reading.limit);
        Reading {
            id,
            name: def.value.name.clone(),
            step: reading.step.to_string(),
            place: of_member(&reading.member, place),
            limit: said,
            range,
            value: value.map_or_else(Phrase::default, |v| v.to_string().into()),
            converted: converted.map_or_else(Phrase::default, |c| Phrase::figure(c.to_string())),
            working,
            verdict,
        }
    }
}
