//! The things that a card names, field by field: torques, limits, parts, tools, timers, options.

use super::field::{Field as Name, Verb};
use super::model::{Change, Kind, Shown};
use super::view::{Act, Entry, Field, View};
use crate::cards::value::{Value, ratio};
use crate::model::registers::Register;
use crate::words::{Phrase, joined, phrase, say};

/// Fields that follow from others: told only where no other field of the entry is.
const DERIVED: [Name; 4] = [Name::Range, Name::Working, Name::Passes, Name::Setting];

/// Which thing of an old card is called what on the new one: register, old name, new name.
pub type Renamed = Vec<(Register, String, String)>;

/// Compares the entries that two cards name; gives what old things are called now. `same` takes what only looks like a change.
pub fn compare(old: &View, new: &View, changes: &mut Vec<Change>, same: &mut Vec<Phrase>) -> Renamed {
    let mut renamed = Renamed::new();
    let mut rest: Vec<&Entry> = new.entries.iter().collect();
    let mut gone = Vec::new();
    for was in &old.entries {
        let partner = |alike: &dyn Fn(&Entry) -> bool| rest.iter().position(|n| n.register == was.register && alike(n));
        // An id is the author's own affair: an entry that is called the same is the same.
        let at = partner(&|n| n.id == was.id).or_else(|| partner(&|n| n.name == was.name));
        match at {
            Some(at) => {
                let now = rest.remove(at);
                renamed.push((was.register, was.name.to_string(), now.name.to_string()));
                let before = changes.len();
                fields(was, now, changes, same);
                for change in changes.iter_mut().skip(before) {
                    change.place.named_in = now.named_in.clone();
                }
            }
            None => gone.push(was),
        }
    }
    let one = |kind, entry: &Entry| {
        let mut change = Change::new(kind, subject(entry));
        let shown = Shown::text(summary(entry));
        if kind == Kind::EntryAdded {
            change.new = shown;
        } else {
            change.old = shown;
        }
        placed(change, entry)
    };
    changes.extend(gone.into_iter().map(|entry| one(Kind::EntryRemoved, entry)));
    for entry in rest {
        let mut change = one(Kind::EntryAdded, entry);
        change.place.named_in = entry.named_in.clone();
        changes.push(change);
    }
    renamed
}

/// `torque of the head bolts`.
fn subject(entry: &Entry) -> Phrase {
    match entry.register {
        Register::Parts => say::part_named(entry.name),
        Register::Temporary => say::temporary_named(entry.name),
        Register::Consumables => say::consumable_named(entry.name),
        Register::Tools => say::tool_named(entry.name),
        Register::Torques => say::torque_named(entry.name),
        Register::Patterns => say::pattern_named(entry.name),
        Register::Limits => say::limit_named(entry.name),
        Register::States => say::state_named(entry.name),
        Register::Actions => say::action_named(entry.name),
        Register::Timers => say::timer_named(entry.name),
        Register::Holds => say::hold_named(entry.name),
        Register::Options => say::option_named(entry.name),
        Register::Joints => say::joint_named(entry.name),
        Register::Cases => say::case_named(entry.name),
        Register::Groups => say::group_named(entry.name),
        Register::Pictures => say::picture_named(entry.name),
    }
}

/// What an entry comes to, in a few words.
fn summary(entry: &Entry) -> Phrase {
    const TELLING: [Name; 8] = [
        Name::Torque,
        Name::Limit,
        Name::Within,
        Name::AtLeast,
        Name::Number,
        Name::Qty,
        Name::Amount,
        Name::Range,
    ];
    let telling = entry
        .fields
        .iter()
        .filter(|f| TELLING.contains(&f.name) || matches!(f.name, Name::Stage(_)));
    joined(telling.map(|f| f.value.said()), ", ")
}

fn placed(mut change: Change, entry: &Entry) -> Change {
    change.place.register = entry.register.field().to_string();
    change.place.id = entry.id.to_string();
    change.place.name = entry.name.to_string();
    change
}

fn field_of<'e>(entry: &'e Entry, name: &Name) -> Option<&'e Field> {
    entry.fields.iter().find(|field| field.name == *name)
}

fn fields(old: &Entry, new: &Entry, changes: &mut Vec<Change>, same: &mut Vec<Phrase>) {
    let mut found: Vec<Change> = Vec::new();
    let put = |found: &mut Vec<Change>, field: &Name, old: Option<&Field>, now: Option<&Field>| {
        let mut change = placed(Change::new(Kind::Value, subject(new)).field(field.clone()), new);
        values(
            &mut change,
            old.map(|f| (&f.value, &f.second)),
            now.map(|f| (&f.value, &f.second)),
        );
        found.push(change);
    };
    for was in &old.fields {
        match field_of(new, &was.name) {
            None => put(&mut found, &was.name, Some(was), None),
            // What is printed alike is alike, whatever it follows from.
            Some(now) if now.value.text() == was.value.text() => {
                if now.second != was.second {
                    let mut change = placed(Change::new(Kind::Value, subject(new)).field(was.name.clone()), new);
                    change = change.from_to(&was.second, &now.second).note(say::in_second_unit());
                    found.push(change);
                }
            }
            Some(now) if now.value.canon() != was.value.canon() => put(&mut found, &was.name, Some(was), Some(now)),
            Some(now) => same.extend(alike(subject(new), &was.name, &was.value, &now.value)),
        }
    }
    for now in &new.fields {
        if field_of(old, &now.name).is_none() {
            put(&mut found, &now.name, None, Some(now));
        }
    }
    let of_its_own = found.iter().any(|c| !DERIVED.contains(&c.field));
    found.retain(|c| !of_its_own || !DERIVED.contains(&c.field));
    changes.extend(found);
    if old.id != new.id {
        same.push(say::same_id(subject(new), old.id, new.id));
    }
}

/// Both values in both units, and the ratio.
pub fn values(change: &mut Change, old: Option<(&Value, &Phrase)>, new: Option<(&Value, &Phrase)>) {
    let shown = |value: Option<(&Value, &Phrase)>, other: Option<(&Value, &Phrase)>| {
        value.map_or_else(Shown::default, |(value, second)| {
            let mut second = second.clone();
            if second.is_empty()
                && let Some((other, _)) = other
            {
                second = value.in_unit_of(other);
            }
            Shown {
                text: value.said().clone(),
                second,
            }
        })
    };
    change.old = shown(old, new);
    change.new = shown(new, old);
    let size = |value: Option<(&Value, &Phrase)>| value.and_then(|(value, _)| value.size());
    if let Some((old, new)) = size(old).zip(size(new)) {
        change.ratio = ratio(old, new).unwrap_or_default();
        if old.figure == new.figure && old.unit != new.unit {
            change.unit_slip = true;
            change.note = say::unit_changed();
        }
    }
}

/// What there is to say of two spellings of one value.
fn alike(subject: Phrase, field: &Name, old: &Value, new: &Value) -> Option<Phrase> {
    let (was, is) = (old.said(), new.said());
    if was == is {
        return None;
    }
    let units = old.size().zip(new.size()).map(|(o, n)| (o.unit, n.unit));
    let field = phrase!(subject, ", ", field.said());
    Some(match units {
        Some((old, new)) if old != new => say::same_other_unit(field, was, is),
        _ => say::same_written_otherwise(field, was, is),
    })
}

/// What an old mark names; by its new name where it has one, since a renamed entry is told of once.
pub fn name_now<'a>(renamed: &'a Renamed, act: &Act<'a>) -> &'a str {
    let found = renamed
        .iter()
        .find(|(register, was, _)| was == act.name && names(act.verb, *register));
    found.map_or(act.name, |(_, _, now)| now.as_str())
}

/// True if a mark of that verb names entries of that register.
fn names(verb: Verb, register: Register) -> bool {
    match verb {
        Verb::Torque | Verb::Snug | Verb::Loosen => register == Register::Torques,
        Verb::Measure => register == Register::Limits,
        Verb::Start | Verb::End => register == Register::Timers,
        Verb::Hold => register == Register::Holds,
        Verb::KeepTo => register == Register::Consumables,
        Verb::Fit | Verb::Remove | Verb::RemoveNumberOf | Verb::Use => [
            Register::Parts,
            Register::Temporary,
            Register::Consumables,
            Register::Tools,
        ]
        .contains(&register),
        Verb::Need | Verb::Set | Verb::Do | Verb::Time => false,
    }
}
