//! Times as people write them down, and what lies between two.

use crate::domain::timer::Duration;
use jiff::civil::{DateTime, Time};
use rust_decimal::Decimal;

/// A moment: with its date, or a time of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Moment {
    Dated(DateTime),
    OfDay(Time),
}

/// Reads `2026-03-02T18:05`, `2026-03-02 18:05:30`, `18:05`, `8:05:30`; `None` if it is neither.
pub fn moment(text: &str) -> Option<Moment> {
    let text = text.trim();
    // A bare date or hour is too coarse to time anything by.
    if !text.contains(':') {
        return None;
    }
    if text.contains('-') {
        return text.parse().ok().map(Moment::Dated);
    }
    let padded = if text.find(':') == Some(1) {
        format!("0{text}")
    } else {
        text.to_string()
    };
    padded.parse().ok().map(Moment::OfDay)
}

/// From one moment to a later one. Two times of day lie less than a day apart, and the second may be the smaller only where `midnight`
/// may lie between them; `None` where it may not, one has a date and the other none, or the dated end lies before its start.
pub fn between(start: Moment, end: Moment, midnight: bool) -> Option<Duration> {
    let seconds = match (start, end) {
        (Moment::Dated(start), Moment::Dated(end)) => end.duration_since(start).as_secs(),
        (Moment::OfDay(start), Moment::OfDay(end)) => match end.duration_since(start).as_secs() {
            seconds if seconds < 0 && midnight => seconds + 24 * 3600,
            seconds => seconds,
        },
        _ => return None,
    };
    (seconds >= 0).then(|| Duration::of_seconds(Decimal::from(seconds)))
}

/// Whole days of a wait can't be told from two times of day.
pub fn needs_dates(rule: &Duration) -> bool {
    rule.seconds() >= Decimal::from(24 * 3600)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn took(start: &str, end: &str) -> Option<String> {
        between(moment(start)?, moment(end)?, true).map(|d| d.to_string())
    }

    #[test]
    fn times_are_read_and_subtracted() {
        assert_eq!(took("18:05", "18:08:20").as_deref(), Some("3 min 20 s"));
        assert_eq!(took("8:05", "09:00").as_deref(), Some("55 min"));
        assert_eq!(took("23:50", "00:10").as_deref(), Some("20 min"));
        assert_eq!(
            took("2026-03-02T18:00", "2026-03-03 08:30").as_deref(),
            Some("14 h 30 min")
        );
        assert_eq!(took("2026-03-03T18:00", "2026-03-02T18:00"), None);
        assert_eq!(took("2026-03-03T18:00", "18:00"), None);
        let times = moment("23:50").zip(moment("00:10"));
        assert_eq!(times.and_then(|(start, end)| between(start, end, false)), None);
        for text in ["", "noon", "25:00", "18", "2026-03-02", "18:60"] {
            assert_eq!(moment(text), None, "{text}");
        }
    }
}
