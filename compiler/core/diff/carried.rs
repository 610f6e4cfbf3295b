//! How the machine stands before and after a card: what other cards leave on, off, loose, set or running.

use super::field::Field;
use super::model::{Change, Kind};
use crate::cards::card::{Card, Standing, StandingRow};
use crate::words::{Phrase, phrase, say};

/// Compares what two cards take over and hand on.
pub fn compare(old: &Card, new: &Card, changes: &mut Vec<Change>) {
    sides(say::carried_in, &old.carried_in, &new.carried_in, changes);
    sides(say::carried_out, &old.carried_out, &new.carried_out, changes);
}

fn sides(when: fn(Phrase) -> Phrase, old: &Standing, new: &Standing, changes: &mut Vec<Change>) {
    for ((kind, how, was), (_, _, is)) in groups(old).into_iter().zip(groups(new)) {
        let of = |rows: &'_ [StandingRow], what: &str| {
            let mut rows = rows.iter().filter(|r| r.what == what);
            rows.next().map_or_else(Phrase::default, told)
        };
        let mut names: Vec<&str> = was.iter().chain(is).map(|r| r.what.as_str()).collect();
        let mut seen = Vec::new();
        names.retain(|name| {
            let fresh = !seen.contains(name);
            seen.push(*name);
            fresh
        });
        for name in names {
            let (before, after) = (of(was, name), of(is, name));
            if before != after {
                let change = Change::new(kind, when(name.into())).field(how.clone());
                changes.push(change.from_to(before, after));
            }
        }
    }
    if old.rest != new.rest {
        let change = Change::new(Kind::Carried, when(say::other_parts())).field(Field::Off);
        changes.push(change.from_to(old.rest.to_string(), new.rest.to_string()));
    }
}

/// A row without its name; never empty.
fn told(row: &StandingRow) -> Phrase {
    let StandingRow {
        what: _,
        count,
        detail,
        since: _,
        // Told by the steps that touch it.
        touched: _,
        span: _,
    } = row;
    match (count, detail.is_empty()) {
        (0 | 1, true) => say::yes(),
        (0 | 1, false) => detail.clone(),
        (count, true) => count.to_string().into(),
        (count, false) => phrase!(count.to_string(), ", ", detail),
    }
}

fn groups(standing: &Standing) -> [(Kind, Field, &[StandingRow]); 5] {
    let Standing {
        fitted,
        off,
        loose,
        states,
        timers,
        // A number alone, told by `sides`.
        rest: _,
    } = standing;
    [
        (Kind::CarriedGuard, Field::SetSo, states.as_slice()),
        (Kind::CarriedGuard, Field::On, fitted),
        (Kind::CarriedGuard, Field::NotTight, loose),
        (Kind::CarriedGuard, Field::ClockRuns, timers),
        (Kind::Carried, Field::Off, off),
    ]
}
