//! Plans: each `tests/plan/<name>.txt` (head: `sitting:`, `every:`, `step:`, `start:`, `stamp:`, `with:`) gives exactly the table and
//! the calendar beside it, and the calendar, read by another library than the one that wrote it, holds the plan's own times.

use crate::harness::{Outcome, fixture, job, snapshot};
use ical::parser::ical::component::IcalEvent;
use libtest_mimic::Trial;
use std::collections::BTreeSet;
use std::path::Path;

pub fn trials() -> Vec<Trial> {
    let fixtures = fixture::texts(&fixture::folder("plan")).into_iter();
    let mut trials: Vec<Trial> = fixtures
        .map(|path| Trial::test(format!("plan/{}", fixture::stem(&path)), move || plan(&path)))
        .collect();
    for sitting in ["40 min", "90 min", "3 h", "8 h"] {
        let name = format!("plan/demo-sets-stop-safely-in-{}", sitting.replace(' ', "-"));
        trials.push(Trial::test(name, move || safe(sitting)));
    }
    trials
}

/// Plans of the demo sets stop only where the ledger says that nothing is open.
fn safe(sitting: &str) -> Outcome {
    let folder = fixture::root().join("procedures");
    let faults = job::bad_stops(&fixture::read_folder(&folder, &folder), sitting)?;
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults.join("\n").into())
    }
}

fn plan(path: &Path) -> Outcome {
    let wanted = job::wanted(&fixture::text(path));
    let (plan, table, calendar) = job::plan(&fixture::read(path), &wanted)?;
    snapshot::compare(&path.with_extension("plan"), &table)?;
    if !plan.optimal {
        return Err("the plan isn't known to be the best".into());
    }
    // RFC 5545, 3.1: lines end with CR LF and are folded at 75 octets.
    if let Some(line) = calendar
        .split_terminator("\r\n")
        .find(|l| l.len() > 75 || l.contains(['\r', '\n']))
    {
        return Err(format!("`{line}` is no content line").into());
    }
    let events = events(&calendar)?;
    let times: Vec<(String, String)> = events
        .iter()
        .map(|e| (value(e, "DTSTART"), value(e, "DTEND")))
        .collect();
    let basic = |at: &str| at.replace(['-', ':'], "");
    let sittings = plan.sittings.iter().map(|s| (basic(&s.start.at), basic(&s.end.at)));
    let expected: Vec<(String, String)> = sittings
        .chain(plan.waits.iter().map(|w| (basic(&w.end.at), String::new())))
        .collect();
    if times != expected {
        return Err(format!("the calendar has {times:?}, the plan {expected:?}").into());
    }
    let ids: BTreeSet<String> = events.iter().map(|e| value(e, "UID")).collect();
    let stamps: BTreeSet<String> = events.iter().map(|e| value(e, "DTSTAMP")).collect();
    if ids.len() != events.len() || stamps.len() != 1 {
        return Err(format!("ids {ids:?}, stamps {stamps:?}").into());
    }
    snapshot::compare(&path.with_extension("ics"), &calendar.replace("\r\n", "\n"))
}

fn events(calendar: &str) -> Result<Vec<IcalEvent>, String> {
    let mut events = Vec::new();
    for calendar in ical::IcalParser::new(calendar.as_bytes()) {
        events.extend(calendar.map_err(|e| format!("the calendar can't be read: {e}"))?.events);
    }
    Ok(events)
}

/// The value of an event's property; empty if it has none.
fn value(event: &IcalEvent, name: &str) -> String {
    let property = event.properties.iter().find(|p| p.name == name);
    property.and_then(|p| p.value.clone()).unwrap_or_default()
}
