//! Entries field by field: torques, limits, parts, tools, timers, options.

use super::model::{Change, Kind, Shown};
use crate::meaning::{Act, Entry, Field, Meaning, SetMeaning, Value, ratio};
use crate::model::{Entity, Set};
use std::collections::BTreeMap;

/// Compares the entries that a card names; gives each old one its new one. `same` takes what only looks like a change.
pub fn compare(
    whole: (&SetMeaning, &SetMeaning),
    card: (&Meaning, &Meaning),
    changes: &mut Vec<Change>,
    same: &mut Vec<String>,
) -> BTreeMap<Entity, Entity> {
    let mut partners = BTreeMap::new();
    let of = |whole: &'_ SetMeaning, meaning: &Meaning| -> Vec<Entity> {
        let known = meaning.entries.iter().filter(|e| whole.entries.contains_key(e));
        known.copied().collect()
    };
    let (old, mut new) = (of(whole.0, card.0), of(whole.1, card.1));
    let mut gone = Vec::new();
    for was in old {
        let entry = &whole.0.entries[&was];
        let partner = |alike: &dyn Fn(&Entry) -> bool| {
            new.iter()
                .position(|n| n.register == was.register && alike(&whole.1.entries[n]))
        };
        // An id is the author's own affair: an entry that is called the same is the same.
        let at = partner(&|n| n.id == entry.id).or_else(|| partner(&|n| n.name == entry.name));
        match at {
            Some(at) => {
                let entity = new.remove(at);
                partners.insert(was, entity);
                let now = &whole.1.entries[&entity];
                let before = changes.len();
                fields(entry, now, (whole.0.set, whole.1.set), changes, same);
                for change in &mut changes[before..] {
                    change.place.named_in = named_in(whole.1, card.1, entity);
                }
            }
            None => gone.push(entry),
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
    for entity in new {
        let mut change = one(Kind::EntryAdded, &whole.1.entries[&entity]);
        change.place.named_in = named_in(whole.1, card.1, entity);
        changes.push(change);
    }
    partners
}

/// The steps that name an entry, or one that prints with it.
fn named_in(whole: &SetMeaning, card: &Meaning, entity: Entity) -> Vec<String> {
    let prints = |named: Entity| {
        let links = whole.entries.get(&named).map_or(&[][..], |e| e.links.as_slice());
        named == entity || links.contains(&entity)
    };
    let names = |acts: &[Act]| acts.iter().filter_map(|act| act.entity).any(prints);
    let steps = card.steps.iter();
    steps
        .filter(|step| names(&step.acts) || step.substeps.iter().any(|sub| names(&sub.acts)))
        .map(|step| step.number.to_string())
        .collect()
}

/// `torque of the head bolts`.
fn subject(entry: &Entry) -> String {
    let kind = entry.register.entry();
    let kind = kind
        .strip_prefix("a ")
        .or_else(|| kind.strip_prefix("an "))
        .unwrap_or(kind);
    format!("{kind} “{}”", entry.name)
}

/// What an entry comes to, in a few words.
fn summary(entry: &Entry) -> String {
    const TELLING: [&str; 8] = [
        "torque", "limit", "within", "at-least", "number", "qty", "amount", "range",
    ];
    let telling = entry
        .fields
        .iter()
        .filter(|f| TELLING.contains(&f.name) || f.name.starts_with("stage"));
    let words: Vec<String> = telling.map(|f| f.value.shown()).collect();
    words.join(", ")
}

fn placed(mut change: Change, entry: &Entry) -> Change {
    change.place.register = entry.register.field().to_string();
    change.place.id = entry.id.to_string();
    change.place.name = entry.name.to_string();
    change
}

fn fields(old: &Entry, new: &Entry, sets: (&Set, &Set), changes: &mut Vec<Change>, same: &mut Vec<String>) {
    let find = |entry: &'_ Entry, name: &str| -> Option<usize> { entry.fields.iter().position(|f| f.name == name) };
    let mut put = |field: &'static str, old: Option<&Value>, now: Option<&Value>| {
        let mut change = placed(Change::new(Kind::Value, subject(new)).field(field), new);
        values(&mut change, sets, old, now);
        changes.push(change);
    };
    for Field { name, value } in &old.fields {
        match find(new, name).map(|at| &new.fields[at].value) {
            None => put(name, Some(value), None),
            Some(now) if now.canon != value.canon => put(name, Some(value), Some(now)),
            Some(now) => same.extend(alike(&subject(new), name, value, now)),
        }
    }
    for Field { name, value } in &new.fields {
        if find(old, name).is_none() {
            put(name, None, Some(value));
        }
    }
    if old.id != new.id {
        same.push(format!("{}: the id was `{}` and is `{}`", subject(new), old.id, new.id));
    }
}

/// Both values in both units, and the ratio.
pub fn values(change: &mut Change, sets: (&Set, &Set), old: Option<&Value>, new: Option<&Value>) {
    let shown = |value: Option<&Value>, set: &Set, other: Option<&Value>| {
        value.map_or_else(Shown::default, |value| {
            let mut second = value.second(set);
            if second.is_empty()
                && let Some(other) = other
            {
                second = value.in_unit_of(other);
            }
            Shown {
                text: value.shown(),
                second,
            }
        })
    };
    change.old = shown(old, sets.0, new);
    change.new = shown(new, sets.1, old);
    let sizes = old.and_then(Value::size).zip(new.and_then(Value::size));
    if let Some((old, new)) = sizes {
        change.ratio = ratio(old, new).unwrap_or_default();
        if old.figure == new.figure && old.unit != new.unit {
            change.note = "the figure stayed and the unit changed".to_string();
        }
    }
}

/// What there is to say of two spellings of one value.
fn alike(subject: &str, field: &str, old: &Value, new: &Value) -> Option<String> {
    let (was, is) = (old.shown(), new.shown());
    if was == is {
        return None;
    }
    let units = old.size().zip(new.size()).map(|(o, n)| (o.unit, n.unit));
    let how = match units {
        Some((old, new)) if old != new => "same value, other unit",
        _ => "same value, written otherwise",
    };
    Some(format!("{subject}, {field}: {was} is {is}: {how}"))
}
