//! The things that a card names, field by field: torques, limits, parts, tools, timers, options.

use super::model::{Change, Kind, Shown};
use super::view::{Act, Entry, Field, View};
use crate::cards::value::{Value, ratio};
use crate::model::registers::Register;

/// Fields that follow from others: told only where no other field of the entry is.
const DERIVED: [&str; 4] = ["range", "working", "passes", "setting of the tool"];

/// Which thing of an old card is called what on the new one: register, old name, new name.
pub type Renamed = Vec<(Register, String, String)>;

/// Compares the entries that two cards name; gives what old things are called now. `same` takes what only looks like a change.
pub fn compare(old: &View, new: &View, changes: &mut Vec<Change>, same: &mut Vec<String>) -> Renamed {
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
                for change in &mut changes[before..] {
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
    let words: Vec<&str> = telling.map(|f| f.value.text()).collect();
    words.join(", ")
}

fn placed(mut change: Change, entry: &Entry) -> Change {
    change.place.register = entry.register.field().to_string();
    change.place.id = entry.id.to_string();
    change.place.name = entry.name.to_string();
    change
}

fn fields(old: &Entry, new: &Entry, changes: &mut Vec<Change>, same: &mut Vec<String>) {
    let find = |entry: &'_ Entry, name: &str| -> Option<usize> { entry.fields.iter().position(|f| f.name == name) };
    let mut found: Vec<Change> = Vec::new();
    let put = |found: &mut Vec<Change>, field: &'static str, old: Option<&Field>, now: Option<&Field>| {
        let mut change = placed(Change::new(Kind::Value, subject(new)).field(field), new);
        values(
            &mut change,
            old.map(|f| (&f.value, f.second.as_str())),
            now.map(|f| (&f.value, f.second.as_str())),
        );
        found.push(change);
    };
    for was in &old.fields {
        match find(new, was.name).map(|at| &new.fields[at]) {
            None => put(&mut found, was.name, Some(was), None),
            // What is printed alike is alike, whatever it follows from.
            Some(now) if now.value.text() == was.value.text() => {
                if now.second != was.second {
                    let mut change = placed(Change::new(Kind::Value, subject(new)).field(was.name), new);
                    change = change
                        .from_to(was.second.as_str(), now.second.as_str())
                        .note("in the second unit");
                    found.push(change);
                }
            }
            Some(now) if now.value.canon() != was.value.canon() => put(&mut found, was.name, Some(was), Some(now)),
            Some(now) => same.extend(alike(&subject(new), was.name, &was.value, &now.value)),
        }
    }
    for now in &new.fields {
        if find(old, now.name).is_none() {
            put(&mut found, now.name, None, Some(now));
        }
    }
    let of_its_own = found.iter().any(|c| !DERIVED.contains(&c.field.as_str()));
    found.retain(|c| !of_its_own || !DERIVED.contains(&c.field.as_str()));
    changes.extend(found);
    if old.id != new.id {
        same.push(format!("{}: the id was `{}` and is `{}`", subject(new), old.id, new.id));
    }
}

/// Both values in both units, and the ratio.
pub fn values(change: &mut Change, old: Option<(&Value, &str)>, new: Option<(&Value, &str)>) {
    let shown = |value: Option<(&Value, &str)>, other: Option<(&Value, &str)>| {
        value.map_or_else(Shown::default, |(value, second)| {
            let mut second = second.to_string();
            if second.is_empty()
                && let Some((other, _)) = other
            {
                second = value.in_unit_of(other);
            }
            Shown {
                text: value.text().to_string(),
                second,
            }
        })
    };
    change.old = shown(old, new);
    change.new = shown(new, old);
    let size = |value: Option<(&Value, &str)>| value.and_then(|(value, _)| value.size());
    if let Some((old, new)) = size(old).zip(size(new)) {
        change.ratio = ratio(old, new).unwrap_or_default();
        if old.figure == new.figure && old.unit != new.unit {
            change.unit_slip = true;
            change.note = "the figure stayed and the unit changed".to_string();
        }
    }
}

/// What there is to say of two spellings of one value.
fn alike(subject: &str, field: &str, old: &Value, new: &Value) -> Option<String> {
    let (was, is) = (old.text(), new.text());
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

/// What an old mark names; by its new name where it has one, since a renamed entry is told of once.
pub fn name_now<'a>(renamed: &'a Renamed, act: &Act<'a>) -> &'a str {
    let found = renamed
        .iter()
        .find(|(register, was, _)| was == act.name && names(act.verb, *register));
    found.map_or(act.name, |(_, _, now)| now.as_str())
}

/// True if a mark of that verb names entries of that register.
fn names(verb: &str, register: Register) -> bool {
    match verb {
        "torque" | "snug" | "loosen" => register == Register::Torques,
        "measure" => register == Register::Limits,
        "start" | "end" => register == Register::Timers,
        "hold" => register == Register::Holds,
        "keep to" => register == Register::Consumables,
        "fit" | "remove" | "remove, number of" | "use" => [
            Register::Parts,
            Register::Temporary,
            Register::Consumables,
            Register::Tools,
        ]
        .contains(&register),
        _ => false,
    }
}
