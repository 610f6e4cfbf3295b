//! What a record holds and the card has no box for: a slip of the pen, or a card that has changed.

use super::FindingKind;
use super::fields::{LISTS, MAPS, TEXTS};
use super::form::Form;
use super::judge::Judge;
use super::read::{Entry, Fields, line, text};
use crate::model::StepNumber;
use crate::words::{Phrase, say};

/// What a box is of, and the step that it stands at; a timer's stands at none.
type Key<'a> = (&'a str, Option<StepNumber>, &'a str);

/// True if an entry of that id and step, as written, belongs to a box.
fn is((own, at, of): &Key, id: &str, step: &str, member: &str) -> bool {
    *own == id && *of == member && at.map_or_else(String::new, |at| at.to_string()) == step
}

/// Tells every entry that belongs to no box, and every place that belongs to no reading.
pub fn strays<'a>(judge: &mut Judge<'a>, form: &Form) {
    let catalogue = &judge.set.catalogue;
    let readings: Vec<Key> = form
        .readings
        .iter()
        .map(|r| {
            (
                catalogue.limits.get(r.limit).id.text.as_str(),
                Some(r.step),
                r.member.as_str(),
            )
        })
        .collect();
    let torques: Vec<Key> = form
        .torques
        .iter()
        .map(|t| {
            (
                catalogue.torques.get(t.torque).id.text.as_str(),
                Some(t.step),
                t.member.as_str(),
            )
        })
        .collect();
    let timers: Vec<Key> = form
        .timers
        .iter()
        .map(|t| (catalogue.timers.get(t.timer).id.text.as_str(), None, ""))
        .collect();
    let holds: Vec<Key> = form
        .holds
        .iter()
        .map(|h| (catalogue.holds.get(h.hold).id.text.as_str(), Some(h.step), ""))
        .collect();
    let filled = judge.filled;
    let of_readings: Vec<&Fields> = filled.readings.iter().map(|(fields, _)| fields).collect();
    let lists = [
        ("limit", say::noun_limit as fn() -> Phrase, of_readings, readings),
        ("torque", say::noun_torque, filled.torques.iter().collect(), torques),
        ("timer", say::noun_timer, filled.timers.iter().collect(), timers),
        ("hold", say::noun_hold, filled.holds.iter().collect(), holds),
    ];
    let mut found: Vec<(usize, Phrase)> = Vec::new();
    // Which of two counts is not for us to say.
    let mut again: Vec<(usize, Phrase)> = Vec::new();
    for (kind, noun, entries, boxes) in lists {
        for (n, fields) in entries.iter().enumerate() {
            let id = text(fields, kind);
            let step_of = |fields: &'a Fields| if kind == "timer" { "" } else { text(fields, "step") };
            let step = step_of(fields);
            let member = text(fields, "member");
            let named = match member {
                "" => format!("`{id}`"),
                member => format!("`{id}`, {member},"),
            };
            let named = match step.is_empty() {
                true => Phrase::from(named),
                false => say::named_at_step(named, step),
            };
            let has = boxes.iter().filter(|b| is(b, id, step, member)).count();
            let before = entries.iter().take(n);
            let before = before.filter(|f| text(f, kind) == id && step_of(f) == step && text(f, "member") == member);
            let before = before.count();
            if has > 0 && before >= has {
                again.push((line(fields), say::written_once_more(noun(), named)));
            } else if has == 0 {
                found.push((line(fields), say::card_has_none(noun(), named)));
            }
        }
    }
    for (fields, values) in &filled.readings {
        let same = |r: &&super::form::ReadingBox| {
            catalogue.limits.get(r.limit).id.text == text(fields, "limit") && r.step.to_string() == text(fields, "step")
        };
        let Some(names) = form.readings.iter().find(same).map(|r| r.places.names()) else {
            continue;
        };
        let unknown = values
            .iter()
            .filter(|(place, entry)| !entry.text.is_empty() && !names.contains(place));
        found.extend(unknown.map(|(place, entry)| (entry.line, say::card_has_no_place(place))));
    }
    for (at, words) in again {
        judge.tell(FindingKind::Unreadable, at, words);
    }
    for key in &filled.twice {
        let words = say::written_twice(&key.text);
        judge.tell(FindingKind::Unreadable, key.line, words);
    }
    unknown_keys(judge, &mut found);
    parts(judge, form, &mut found);
    for (at, words) in found {
        judge.tell(FindingKind::Stray, at, words);
    }
}

/// Keys of entries that no entry of their kind has.
fn unknown_keys(judge: &Judge, found: &mut Vec<(usize, Phrase)>) {
    let filled = judge.filled;
    let readings: Vec<&Fields> = filled.readings.iter().map(|(fields, _)| fields).collect();
    let lists: [(&str, Vec<&Fields>); 6] = [
        ("readings", readings),
        ("torques", filled.torques.iter().collect()),
        ("timers", filled.timers.iter().collect()),
        ("holds", filled.holds.iter().collect()),
        ("carried", filled.carried.iter().collect()),
        ("deferred", filled.deferred.iter().collect()),
    ];
    for (name, entries) in lists {
        let Some(list) = LISTS.iter().find(|list| list.name == name) else {
            continue;
        };
        let (kind, known) = (list.entry, list.fields);
        let fields = entries.into_iter().flatten();
        let unknown = fields.filter(|(key, _)| !known.contains(&key.as_str()));
        found.extend(unknown.map(|(key, entry)| (entry.line, say::has_no_field(kind(), key))));
    }
}

/// Serial numbers of parts that the card doesn't fit, or more than it has pieces; the same number twice differs from what can be.
fn parts(judge: &mut Judge, form: &Form, found: &mut Vec<(usize, Phrase)>) {
    let filled = judge.filled;
    for (id, numbers) in &filled.parts {
        let numbers: Vec<&Entry> = numbers.iter().filter(|e| !e.text.is_empty()).collect();
        let Some(first) = numbers.first() else { continue };
        let part = form
            .parts
            .iter()
            .find(|(part, _)| judge.set.catalogue.parts.get(*part).id.text == *id);
        match part {
            None => found.push((first.line, say::card_has_no_part(id))),
            Some((_, count)) if numbers.len() > *count as usize => {
                let words = say::too_many_serials(id, numbers.len(), *count as usize);
                found.push((first.line, words));
            }
            Some(_) => {}
        }
        for (n, number) in numbers.iter().enumerate() {
            if numbers.iter().take(n).any(|other| other.text == number.text) {
                let words = say::serial_written_twice(&number.text, id);
                judge.tell(FindingKind::Differs, number.line, words);
            }
        }
    }
    let lists = || LISTS.iter().map(|list| list.name);
    let known: Vec<&str> = TEXTS.into_iter().chain(MAPS).chain(lists()).collect();
    let unknown = filled.head.iter().filter(|(key, _)| !known.contains(&key.as_str()));
    found.extend(unknown.map(|(key, entry)| (entry.line, say::record_has_no_field(key))));
}
