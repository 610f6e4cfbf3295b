//! The time axis of a drawing: where its ticks are and what they say.

use crate::domain::timer::Duration;
use crate::words::plain;
use jiff::SignedDuration;
use jiff::civil::{DateTime, Time};
use serde::Serialize;

const DAY: u64 = 24 * 3600;

/// Parts that a person reads off a clock or a calendar, in seconds.
const STEPS: [u64; 19] = [
    1,
    5,
    15,
    30,
    60,
    2 * 60,
    5 * 60,
    10 * 60,
    15 * 60,
    30 * 60,
    3600,
    2 * 3600,
    3 * 3600,
    6 * 3600,
    12 * 3600,
    DAY,
    2 * DAY,
    7 * DAY,
    28 * DAY,
];

/// A line across a drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tick {
    /// Share of the drawing's width.
    pub at: f64,
    /// `18:30`, `2026-03-03`; `1:30` or `36 h` after the start.
    pub label: String,
}

plain!(Tick);

/// The time that a drawing shows.
pub struct Axis {
    /// Time on the wall at its left end, if there is one.
    pub start: Option<DateTime>,
    /// Seconds shown.
    pub length: u64,
    /// Seconds that the whole width stands for, at least 1.
    pub scale: u64,
    /// Most parts that the whole width is divided into.
    pub parts: u64,
    /// Days may be named: it can be longer than one.
    pub days: bool,
}

impl Axis {
    /// Where so many seconds after the left end are, as a share of the width.
    pub fn share(&self, seconds: u64) -> f64 {
        (seconds as f64 / self.scale as f64).clamp(0.0, 1.0)
    }

    /// Ticks at round times.
    pub fn ticks(&self) -> Vec<Tick> {
        let step = self.step();
        // The first round time at or after the left end.
        let past = self.start.map_or(0, |start| {
            let midnight = start.time().duration_since(Time::midnight()).as_secs();
            u64::try_from(midnight).unwrap_or(0) % step
        });
        let first = if past == 0 { 0 } else { step - past };
        let mut ticks = Vec::new();
        let mut at = first;
        while at <= self.length && ticks.len() <= self.parts as usize {
            ticks.push(Tick {
                at: self.share(at),
                label: self.label(at, step),
            });
            at = at.saturating_add(step);
        }
        ticks
    }

    /// The shortest step that divides the width into no more parts than are wanted.
    fn step(&self) -> u64 {
        let fits = |step: &u64| self.scale.div_ceil(*step) <= self.parts;
        let known = STEPS.into_iter().find(|step| fits(step));
        let longer = || std::iter::successors(Some(280 * DAY), |step| step.checked_mul(10)).find(|step| fits(step));
        known.or_else(longer).unwrap_or(u64::MAX)
    }

    fn label(&self, at: u64, step: u64) -> String {
        let seconds = SignedDuration::from_secs(i64::try_from(at).unwrap_or(i64::MAX));
        match self.start {
            None if self.days && self.scale >= DAY => Duration::in_words(at),
            None => clock_face(at, step),
            Some(start) => match start.checked_add(seconds) {
                Ok(time) if self.days && time.time() == Time::midnight() => time.date().to_string(),
                Ok(time) if step < 60 => time.time().strftime("%H:%M:%S").to_string(),
                Ok(time) => time.time().strftime("%H:%M").to_string(),
                // Past the end of the calendar.
                Err(_) => String::new(),
            },
        }
    }
}

/// Hours and minutes, and seconds where the steps are that short.
fn clock_face(seconds: u64, step: u64) -> String {
    let (hours, minutes) = (seconds / 3600, seconds / 60 % 60);
    match step < 60 {
        true => format!("{hours}:{minutes:02}:{:02}", seconds % 60),
        false => format!("{hours}:{minutes:02}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(start: &str, length: u64, scale: u64, parts: u64, days: bool) -> Vec<String> {
        let axis = Axis {
            start: start.parse().ok(),
            length,
            scale,
            parts,
            days,
        };
        axis.ticks().into_iter().map(|tick| tick.label).collect()
    }

    #[test]
    fn ticks_stand_at_round_times() {
        assert_eq!(
            labels("2026-03-02T18:10", 3600, 3600, 6, false),
            ["18:10", "18:20", "18:30", "18:40", "18:50", "19:00", "19:10"]
        );
        assert_eq!(
            labels("2026-03-02T17:55", 7200, 10800, 6, false),
            ["18:00", "18:30", "19:00", "19:30"]
        );
        assert_eq!(
            labels("", 7200, 10800, 6, false),
            ["0:00", "0:30", "1:00", "1:30", "2:00"]
        );
        assert_eq!(
            labels("", 90, 90, 6, false),
            [
                "0:00:00", "0:00:15", "0:00:30", "0:00:45", "0:01:00", "0:01:15", "0:01:30"
            ]
        );
    }

    #[test]
    fn long_spans_name_days() {
        let two = 2 * DAY;
        assert_eq!(
            labels("2026-03-02T18:00", two, two, 4, true),
            ["2026-03-03", "12:00", "2026-03-04", "12:00"]
        );
        assert_eq!(labels("", two, two, 4, true), ["0 s", "12 h", "24 h", "36 h", "48 h"]);
    }

    #[test]
    fn no_length_is_too_short_or_too_long() {
        assert_eq!(labels("", 0, 1, 6, false).len(), 1);
        for length in [1, 59, 3601, DAY * 400, 1_000_000_000_000, u64::MAX] {
            for start in ["", "2026-03-02T18:10", "9999-12-31T23:59:59"] {
                let found = labels(start, length, length, 4, true);
                assert!(found.len() <= 5, "{length} {start}: {found:?}");
            }
        }
    }
}
