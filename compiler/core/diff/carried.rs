//! How the machine stands before and after a card: what other cards leave on, off, loose, set or running.

use super::model::{Change, Kind};
use crate::cards::card::{Card, Standing, StandingRow};

/// Compares what two cards take over and hand on.
pub fn compare(old: &Card, new: &Card, changes: &mut Vec<Change>) {
    sides("carried in", &old.carried_in, &new.carried_in, changes);
    sides("carried out", &old.carried_out, &new.carried_out, changes);
}

fn sides(when: &str, old: &Standing, new: &Standing, changes: &mut Vec<Change>) {
    for ((kind, how, was), (_, _, is)) in groups(old).into_iter().zip(groups(new)) {
        let of = |rows: &'_ [StandingRow], what: &str| {
            let mut rows = rows.iter().filter(|r| r.what == what);
            rows.next().map_or_else(String::new, told)
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
                let change = Change::new(kind, format!("{when}: {name}")).field(how);
                changes.push(change.from_to(before, after));
            }
        }
    }
}

/// A row without its name; never empty.
fn told(row: &StandingRow) -> String {
    let StandingRow {
        what: _,
        count,
        detail,
        since: _,
    } = row;
    match (count, detail.as_str()) {
        (0 | 1, "") => "yes".to_string(),
        (0 | 1, detail) => detail.to_string(),
        (count, "") => count.to_string(),
        (count, detail) => format!("{count}, {detail}"),
    }
}

fn groups(standing: &Standing) -> [(Kind, &'static str, &[StandingRow]); 5] {
    let Standing {
        fitted,
        off,
        loose,
        states,
        timers,
    } = standing;
    [
        (Kind::CarriedGuard, "set so", states.as_slice()),
        (Kind::CarriedGuard, "on, to come off again", fitted),
        (Kind::CarriedGuard, "not tight", loose),
        (Kind::CarriedGuard, "clock runs", timers),
        (Kind::Carried, "off the machine", off),
    ]
}
