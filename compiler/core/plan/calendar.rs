//! A plan as a calendar (RFC 5545): one event a sitting, one where a wait is up. Times are those of the clock on the wall ("floating"),
//! because a workshop has no time zone.

use super::{Moment, Plan};
use icalendar::{Calendar, Component, Event, Property};
use jiff::civil::DateTime;

/// The calendar of a plan with a start; `None` without one. `stamp` is when the calendar was made, in UTC. The same plan and stamp
/// give the same bytes, and the same plan the same event ids, so that a calendar read in twice holds each event once.
pub fn calendar(plan: &Plan, stamp: DateTime) -> Option<String> {
    let mut calendar = Calendar::empty();
    calendar.append_property(Property::new("VERSION", "2.0"));
    calendar.append_property(Property::new("PRODID", "-//benchleaf//plan//EN"));
    calendar.append_property(Property::new("CALSCALE", "GREGORIAN"));
    let count = plan.sittings.len();
    for sitting in &plan.sittings {
        let work: Vec<String> = sitting
            .work
            .iter()
            .map(|b| format!("{} {} to {}", b.procedure, b.from, b.to))
            .collect();
        let mut event = event(plan, &format!("sitting-{}", sitting.number), stamp);
        match plan.sitting.is_empty() {
            true => event.summary(&plan.title),
            false => event.summary(&format!("{}: sitting {} of {count}", plan.title, sitting.number)),
        };
        event.description(&work.join("\n"));
        event.add_property("DTSTART", basic(&sitting.start)?);
        event.add_property("DTEND", basic(&sitting.end)?);
        calendar.push(event.done());
    }
    for (n, wait) in plan.waits.iter().enumerate() {
        let mut event = event(plan, &format!("wait-{}-{}", n + 1, wait.timer), stamp);
        event.summary(&format!("{}: up after {}", wait.what, wait.length));
        event.description(&plan.title);
        // An event with a start alone takes no time.
        event.add_property("DTSTART", basic(&wait.end)?);
        calendar.push(event.done());
    }
    Some(calendar.to_string())
}

fn event(plan: &Plan, name: &str, stamp: DateTime) -> Event {
    let mut event = Event::new();
    let id = |text: &str| -> String {
        let keep = |c: char| {
            if c.is_ascii_alphanumeric() || matches!(c, '-' | '.') {
                c
            } else {
                '-'
            }
        };
        text.chars().map(keep).collect()
    };
    event.uid(&format!("{}.{}@benchleaf.invalid", id(&plan.set), id(name)));
    event.add_property("DTSTAMP", stamp.strftime("%Y%m%dT%H%M%SZ").to_string());
    event
}

/// `20260302T180000`
fn basic(moment: &Moment) -> Option<String> {
    let at: DateTime = moment.at.parse().ok()?;
    Some(at.strftime("%Y%m%dT%H%M%S").to_string())
}
