//! Durations, as authors write them and as ISO 8601 does.
//!
//! `12 min`, `24 h`, `1 h 30 min`, `PT12M`, `P1DT12H`, `P2W`. In the ISO form an `M` before the `T` is a month; a month or a year has
//! no fixed length and can't time a job, so both are refused (ISO 8601-1:2019).

mod iso;

use std::fmt;
use std::sync::OnceLock;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use uom::si::f64::Time;

use crate::quantity::{Dimension, Kind, Scan, Unit, ValueError, ValueErrorKind};

/// A length of time, zero or above, as written. Two are equal when they are as long; they order by length.
#[derive(Clone, Debug)]
pub struct Duration {
    text: String,
    seconds: Decimal,
}

impl Duration {
    /// Reads figures with units of time, largest first or not (`1 h 30 min`), or an ISO 8601 duration.
    ///
    /// # Errors
    /// If the text is neither, is negative, or uses months or years.
    pub fn parse(text: &str) -> Result<Duration, ValueError> {
        let mut scan = Scan::new(text);
        let whole = scan.remainder();
        if whole.is_empty() {
            return Err(ValueError::new(whole, ValueErrorKind::Empty));
        }
        let out_of_range = || {
            ValueError::new(
                whole.clone(),
                ValueErrorKind::NumberOutOfRange {
                    found: text.trim().to_owned(),
                },
            )
        };
        if scan.rest().trim_start().starts_with('P') {
            let found = text.trim().to_owned();
            let seconds = iso::seconds(&found).map_err(|reason| {
                ValueError::new(
                    whole.clone(),
                    ValueErrorKind::BadDuration {
                        found: found.clone(),
                        reason,
                    },
                )
            })?;
            return Ok(Duration {
                text: spoken(seconds),
                seconds,
            });
        }
        let second = Unit::find("s").unwrap_or_else(Unit::first);
        let mut seconds = Decimal::ZERO;
        let mut parts = Vec::new();
        while !scan.at_end() {
            if !parts.is_empty()
                && !scan
                    .rest()
                    .trim_start()
                    .starts_with(|next: char| next.is_ascii_digit() || next == '.')
            {
                scan.finish()?;
            }
            let found = scan.measure(Some(Dimension::Time))?;
            found.expect(&[Dimension::Time])?;
            if found.measure.value().is_sign_negative() {
                return Err(ValueError::new(found.figure_at, ValueErrorKind::Negative));
            }
            let part = found
                .measure
                .unit()
                .convert(found.measure.value(), second)
                .ok_or_else(out_of_range)?;
            seconds = seconds.checked_add(part).ok_or_else(out_of_range)?;
            parts.push(found.measure.to_string());
        }
        Ok(Duration {
            text: parts.join(" "),
            seconds,
        })
    }

    /// So many seconds in words: `2 h 30 min`.
    pub fn in_words(seconds: u64) -> String {
        Duration::of_seconds(Decimal::from(seconds)).to_string()
    }

    /// A duration that was worked out, printed in days, hours, minutes and seconds: `1 h 35 min`.
    pub fn of_seconds(seconds: Decimal) -> Duration {
        let seconds = seconds.max(Decimal::ZERO);
        Duration {
            text: spoken(seconds),
            seconds,
        }
    }

    /// No time at all.
    pub fn zero() -> Duration {
        // Every step that says no time asks for it.
        static ZERO: OnceLock<Duration> = OnceLock::new();
        ZERO.get_or_init(|| Duration::of_seconds(Decimal::ZERO)).clone()
    }

    /// The length in seconds, exact.
    pub fn seconds(&self) -> Decimal {
        self.seconds
    }

    /// The length.
    pub fn time(&self) -> Time {
        Time::from_si(self.seconds.to_f64().unwrap_or(f64::MAX))
    }

    /// Both one after the other; the longest that can be held if they are too long.
    pub fn plus(&self, other: &Duration) -> Duration {
        Duration::of_seconds(self.seconds.checked_add(other.seconds).unwrap_or(Decimal::MAX))
    }
}

impl PartialEq for Duration {
    fn eq(&self, other: &Self) -> bool {
        self.seconds == other.seconds
    }
}

impl Eq for Duration {}

impl PartialOrd for Duration {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Duration {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.seconds.cmp(&other.seconds)
    }
}

impl fmt::Display for Duration {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.text)
    }
}

/// Days, hours, minutes and seconds, the noughts left out. Hours run to 48 before they become days: `36 h` is how a shop says it.
fn spoken(seconds: Decimal) -> String {
    let (minute, hour, day) = (Decimal::from(60), Decimal::from(3600), Decimal::from(86400));
    let mut rest = seconds;
    let mut parts = Vec::new();
    let mut take = |size: Decimal, symbol: &str| {
        // A quotient is rounded to what a decimal can hold, and may be one too many; what is left over is exact.
        let left = rest % size;
        let count = ((rest - left) / size).normalize();
        if !count.is_zero() {
            parts.push(format!("{count} {symbol}"));
        }
        rest = left;
    };
    if seconds > day * Decimal::TWO {
        take(day, "d");
    }
    take(hour, "h");
    take(minute, "min");
    if !rest.is_zero() || parts.is_empty() {
        parts.push(format!("{} s", rest.normalize()));
    }
    parts.join(" ")
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::tests::{any_text, config};

    fn read(text: &str) -> (String, String) {
        let duration = Duration::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        (duration.to_string(), duration.seconds().normalize().to_string())
    }

    #[test]
    fn written_and_iso_forms() {
        let cases = [
            ("12 min", "12 min", "720"),
            ("24 h", "24 h", "86400"),
            ("1 h 30 min", "1 h 30 min", "5400"),
            ("1h30min", "1 h 30 min", "5400"),
            ("1.5 h", "1.5 h", "5400"),
            ("2 days", "2 d", "172800"),
            ("PT12M", "12 min", "720"),
            ("PT10M", "10 min", "600"),
            ("P1DT12H", "36 h", "129600"),
            ("P2W", "14 d", "1209600"),
            ("PT0.5H", "30 min", "1800"),
            ("PT0,5H", "30 min", "1800"),
            ("PT0S", "0 s", "0"),
            (
                "PT3599.9999999999999999999999999S",
                "59 min 59.9999999999999999999999999 s",
                "3599.9999999999999999999999999",
            ),
        ];
        for (text, shown, seconds) in cases {
            assert_eq!(read(text), (shown.to_owned(), seconds.to_owned()), "{text}");
        }
    }

    #[test]
    fn what_cannot_time_a_job_is_refused() {
        for text in [
            "P1M",
            "P1Y",
            "P1W2D",
            "P",
            "PT",
            "PT4",
            "P4M",
            "PT1M2H",
            "PT1.5H30M",
            "P-1D",
            "PT12M ago",
        ] {
            assert!(
                matches!(
                    Duration::parse(text).unwrap_err().kind,
                    ValueErrorKind::BadDuration { .. }
                ),
                "{text}"
            );
        }
        assert!(matches!(
            Duration::parse("12 m").unwrap_err().kind,
            ValueErrorKind::WrongDimension { .. }
        ));
        assert!(matches!(
            Duration::parse("4").unwrap_err().kind,
            ValueErrorKind::MissingUnit { .. }
        ));
        assert!(matches!(
            Duration::parse("-12 min").unwrap_err().kind,
            ValueErrorKind::Negative
        ));
        assert!(matches!(
            Duration::parse("12 min or so").unwrap_err().kind,
            ValueErrorKind::TrailingText { .. }
        ));
    }

    proptest! {
        #![proptest_config(config())]

        #[test]
        fn no_text_panics(text in any_text()) {
            if let Err(error) = Duration::parse(&text) {
                prop_assert!(text.get(error.at.clone()).is_some(), "{error:?}");
            }
        }

        #[test]
        fn worked_out_durations_read_back(seconds in 0_i64..10_000_000) {
            let duration = Duration::of_seconds(Decimal::from(seconds));
            prop_assert_eq!(Duration::parse(&duration.to_string()), Ok(duration));
        }
    }
}
