//! Reads thread designations: `M8x1.25-6g`, `3/8-16 UNC-2A`, `No. 10-32`, `#10-32 UNF`, `1 1/8-7`, `1/2 UNF`, `1/2 BSW`, `G 1/2`,
//! `1/2-14 NPT`, `Tr 40x7`, each with `LH` behind it if it is left-hand.

use rust_decimal::Decimal;

use super::Thread;
use super::cursor::{Cursor, front, plain};
use crate::quantity::{ValueError, ValueErrorKind};

/// The thread at the front of `text` and where it ends.
pub(super) fn thread(text: &str) -> Result<(Thread, usize), ValueError> {
    let start = text.len() - text.trim_start().len();
    let mut cursor = Cursor { text, at: start };
    let read = if let Some(series) = cursor.front_series() {
        inch_series(&mut cursor, series)
    } else if cursor.eat_front("Tr") {
        trapezoidal(&mut cursor)
    } else if cursor.eat_any(&['M', 'm']) {
        metric(&mut cursor)
    } else {
        inch(&mut cursor)
    };
    let thread = read.map_err(|reason| {
        let word = front(text.trim_start(), char::is_whitespace);
        let end = cursor.at.max(start + word.len());
        let found = text.get(start..end).unwrap_or(word).trim_end().to_owned();
        ValueError::new(
            start..start + found.len(),
            ValueErrorKind::UnknownThread { found, reason },
        )
    })?;
    let mut left = cursor.hand();
    cursor.skip_tolerance_class(thread.series() == "G");
    left = left.or_else(|| cursor.hand());
    let thread = if left == Some(true) {
        thread.left_handed()
    } else {
        thread
    };
    Ok((thread, cursor.at))
}

fn metric(cursor: &mut Cursor<'_>) -> Result<Thread, String> {
    let diameter = plain(cursor.figure());
    if diameter.is_empty() {
        return Err("it has no diameter".to_owned());
    }
    let size = format!("M{diameter}");
    let listed = || Thread::of_size(&size).map(Thread::pitch_text).collect::<Vec<_>>();
    let mark = cursor.at;
    cursor.skip_space();
    if cursor.eat_any(&['x', 'X', '×', '*']) {
        cursor.skip_space();
        let pitch = plain(cursor.figure());
        if let Some(thread) = Thread::of_size(&size).find(|thread| thread.pitch_text() == pitch) {
            return Ok(thread);
        }
        let numbers = Decimal::from_str_exact(&diameter)
            .ok()
            .zip(Decimal::from_str_exact(&pitch).ok());
        let (diameter, pitch) = numbers.ok_or_else(|| "it has no pitch behind the `x`".to_owned())?;
        // A pitch that a listed size doesn't have is a slip if it is coarser than the coarsest, or none at all.
        let coarsest = Thread::of_size(&size).next().map(|thread| thread.pitch());
        let free = Thread::metric(diameter, pitch);
        return match (free, coarsest) {
            (Ok(thread), Some(coarsest)) if thread.pitch() > coarsest => {
                Err(format!("{size} has the pitches {}", listed().join(", ")))
            }
            (Err(_), Some(_)) => Err(format!("{size} has the pitches {}", listed().join(", "))),
            (free, _) => free,
        };
    }
    cursor.at = mark;
    let known = Thread::of_size(&size).next().is_some();
    Thread::of_size(&size)
        .find(|thread| thread.series() == "coarse")
        .ok_or_else(|| match known {
            true => format!("{size} has no coarse pitch: it has the pitches {}", listed().join(", ")),
            false => format!("the tables hold no coarse pitch of {size}"),
        })
}

/// `Tr 40x7`, `Tr 40x14P7`, `Tr 40 x 14 (P7)`.
fn trapezoidal(cursor: &mut Cursor<'_>) -> Result<Thread, String> {
    cursor.skip_space();
    let number = |text: &str| Decimal::from_str_exact(&plain(text)).ok();
    let diameter = number(cursor.figure()).ok_or("it has no diameter")?;
    cursor.skip_space();
    if !cursor.eat_any(&['x', 'X', '×', '*']) {
        return Err("it has no pitch".to_owned());
    }
    cursor.skip_space();
    let first = number(cursor.figure()).ok_or("it has no pitch")?;
    let mark = cursor.at;
    cursor.skip_space();
    let bracket = cursor.eat_any(&['(']);
    if !cursor.eat_any(&['P', 'p']) {
        cursor.at = mark;
        return Thread::trapezoidal(diameter, first, 1);
    }
    let pitch = number(cursor.figure()).filter(|pitch| !pitch.is_zero());
    let pitch = pitch.ok_or("it has no pitch behind the `P`")?;
    if bracket {
        cursor.eat_any(&[')']);
    }
    let starts = first.checked_div(pitch).filter(|starts| starts.fract().is_zero());
    let starts = starts
        .and_then(|starts| u32::try_from(starts).ok())
        .filter(|starts| (1..=12).contains(starts));
    let starts = starts.ok_or_else(|| format!("a lead of {first} is no multiple of the pitch {pitch}"))?;
    Thread::trapezoidal(diameter, pitch, starts)
}

/// A size, its threads per inch and its series, in inches: `3/8-16 UNC`, `1/2 BSW`, `1/2-14 NPT`, `1/2 BSPP`.
fn inch(cursor: &mut Cursor<'_>) -> Result<Thread, String> {
    let written = cursor.rest();
    let size = cursor
        .inch_size()
        .ok_or("a thread starts with `M`, `G`, `R`, `Tr`, an inch size or `No.`")?;
    let count = threads_per_inch(cursor);
    let series = cursor.series();
    if series == Some("BSP") {
        return Err("BSP is either parallel (`BSPP`, also G) or taper (`BSPT`, also R)".to_owned());
    }
    if let Some(series) = series.filter(|series| !UNIFIED.contains(series)) {
        let whole = size.strip_prefix("No. ").unwrap_or(&size);
        return listed(series, whole, &count);
    }
    let found = unified(&size, &count, series);
    // A whole number may be a size in inches or a numbered one: `2-4.5`, `2-56`, `1-72`.
    let other = match size.strip_prefix("No. ") {
        Some(number) if !written.starts_with(['#', 'N', 'n']) => number.to_owned(),
        Some(_) => return found,
        None => format!("No. {size}"),
    };
    found.or_else(|reason| unified(&other, &count, series).map_err(|_| reason))
}

fn unified(size: &str, count: &str, series: Option<&str>) -> Result<Thread, String> {
    if Thread::of_size(size).next().is_none() {
        return Err(format!("the tables hold no {size} in the unified series"));
    }
    let named = |thread: &Thread| match series {
        None => true,
        // 1-14 is of the special series, but is sold as UNF.
        Some("UNF") => {
            matches!(thread.series(), "UNF" | "UNS") && (thread.series() == "UNF" || count == thread.pitch_text())
        }
        Some(series) => thread.series() == series,
    };
    if count.is_empty() && series.is_none() {
        return Err("it has no number of threads per inch".to_owned());
    }
    let by_count = |thread: &Thread| count.is_empty() || thread.pitch_text() == count;
    Thread::of_size(size)
        .find(|thread| by_count(thread) && named(thread))
        .ok_or_else(|| match Thread::of_size(size).find(by_count) {
            Some(thread) if !count.is_empty() => format!("{size}-{count} is {}", thread.series()),
            _ => {
                let listed: Vec<String> = Thread::of_size(size).map(|thread| thread.to_string()).collect();
                format!("the tables hold {}", listed.join(", "))
            }
        })
}

/// The threads per inch behind a size; empty if none are given.
fn threads_per_inch(cursor: &mut Cursor<'_>) -> String {
    cursor.eat_any(&['"', '″']);
    let mark = cursor.at;
    cursor.skip_space();
    let count = if cursor.eat_any(&['-', '–', '−']) {
        cursor.skip_space();
        plain(cursor.figure())
    } else {
        String::new()
    };
    if count.is_empty() {
        cursor.at = mark;
    }
    count
}

/// A series written in front of its size: `G 1/2`, `NPT 3/4`, `BSW 1/2`.
fn inch_series(cursor: &mut Cursor<'_>, series: &str) -> Result<Thread, String> {
    cursor.skip_space();
    let size = cursor.inch_size().ok_or_else(|| format!("{series} needs a size"))?;
    let count = threads_per_inch(cursor);
    listed(series, size.strip_prefix("No. ").unwrap_or(&size), &count)
}

/// The thread of a series that has one pitch for each size.
fn listed(series: &str, size: &str, count: &str) -> Result<Thread, String> {
    let found = Thread::of_series(series).find(|thread| thread.size() == size);
    let thread = found.ok_or_else(|| format!("the tables hold no {size} in the series {series}"))?;
    match count.is_empty() || thread.pitch_text() == count {
        true => Ok(thread),
        false => Err(format!("{size} {series} has {} threads per inch", thread.pitch_text())),
    }
}

/// Series of the unified system.
const UNIFIED: [&str; 5] = ["UNC", "UNF", "UNS", "UNEF", "UN"];

#[cfg(test)]
mod tests {
    use super::super::ThreadSystem;
    use super::*;

    #[test]
    fn designations() {
        let cases = [
            ("M8", "M8×1.25"),
            ("M8x1.25", "M8×1.25"),
            ("m8 X 1", "M8×1"),
            ("M8×1.0-6g", "M8×1"),
            ("M10 x 1.25 - 6H", "M10×1.25"),
            ("M3.5", "M3.5×0.6"),
            ("M6x.75", "M6×0.75"),
            ("3/8-16 UNC", "3/8-16 UNC"),
            ("3/8-16", "3/8-16 UNC"),
            ("3/8\"-24UNF-2A", "3/8-24 UNF"),
            ("1/2 UNF", "1/2-20 UNF"),
            ("1-8", "1-8 UNC"),
            ("1-14 UNF", "1-14 UNS"),
            ("1-12 UNF", "1-12 UNF"),
            ("1 UNF", "1-12 UNF"),
            ("1 1/8-7", "1-1/8-7 UNC"),
            ("1-1/8-12 UNF", "1-1/8-12 UNF"),
            ("No. 10-32 UNF", "No. 10-32 UNF"),
            ("#10-32", "No. 10-32 UNF"),
            ("10-24", "No. 10-24 UNC"),
            ("no 8 - 32", "No. 8-32 UNC"),
            ("2-56", "No. 2-56 UNC"),
            ("1-72", "No. 1-72 UNF"),
            ("0-80", "No. 0-80 UNF"),
            ("2-4.5 UNC", "2-4.5 UNC"),
            ("3/8-32 UNEF", "3/8-32 UNEF"),
            ("1-1/4-8 UN", "1-1/4-8 UN"),
            ("1-1/4-8UN-2A", "1-1/4-8 UN"),
            ("M9", "M9×1.25"),
            ("M32x1.5", "M32×1.5"),
            ("M45x1.25", "M45×1.25"),
            ("M27.5x1", "M27.5×1"),
            ("M8 LH", "M8×1.25 LH"),
            ("M8x1-LH", "M8×1 LH"),
            ("M8x1-6g-LH", "M8×1 LH"),
            ("M8x1 left-hand", "M8×1 LH"),
            ("M8x1 left hand", "M8×1 LH"),
            ("M8 RH", "M8×1.25"),
            ("3/8-16 UNC-2A-LH", "3/8-16 UNC LH"),
            ("1/2 BSW", "1/2-12 BSW"),
            ("BSW 1/2", "1/2-12 BSW"),
            ("1/2-16 BSF", "1/2-16 BSF"),
            ("2 BSW", "2-4.5 BSW"),
            ("G1/2 A", "G 1/2"),
            ("G 1-1/4", "G 1-1/4"),
            ("1/2 BSPP", "G 1/2"),
            ("1/2\" BSPT", "R 1/2"),
            ("Rc 3/4", "R 3/4"),
            ("1/2-14 NPT", "1/2-14 NPT"),
            ("NPT 1", "1-11.5 NPT"),
            ("3/4 NPTF", "3/4-14 NPTF"),
            ("Tr 40x7", "Tr 40×7"),
            ("TR40x14P7 LH", "Tr 40×14 P7 LH"),
            ("Tr 40 x 14 (P7)", "Tr 40×14 P7"),
        ];
        for (text, shown) in cases {
            assert_eq!(
                thread(text).map(|(thread, _)| thread.to_string()),
                Ok(shown.to_owned()),
                "{text}"
            );
        }
        assert_eq!(thread("M8").unwrap().0.system(), ThreadSystem::Metric);
    }

    #[test]
    fn near_misses_say_why() {
        let message = |text: &str| thread(text).unwrap_err().message();
        assert_eq!(
            message("M8x1.5"),
            "`M8x1.5` is not a thread: M8 has the pitches 1.25, 1, 0.75"
        );
        assert_eq!(message("3/8-16 UNF"), "`3/8-16 UNF` is not a thread: 3/8-16 is UNC");
        assert_eq!(
            message("3/8"),
            "`3/8` is not a thread: it has no number of threads per inch"
        );
        assert!(message("M9.5").ends_with("the tables hold no coarse pitch of M9.5"));
        assert!(message("M32").contains("M32 has no coarse pitch: it has the pitches 2, 1.5"));
        assert!(message("M20x1.1").contains("M20 has the pitches"));
        assert!(message("M9.5x1.1").contains("1.1 is not a pitch of ISO 261"));
        assert!(message("1/2 BSP").contains("either parallel"));
        assert!(message("1/2-13 BSW").contains("has 12 threads per inch"));
        assert!(message("Tr 40x14P5").contains("no multiple"));
        assert!(message("bolt").contains("a thread starts with"));
    }
}
