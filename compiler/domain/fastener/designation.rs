//! Reads thread designations: `M8x1.25-6g`, `3/8-16 UNC-2A`, `No. 10-32`, `#10-32 UNF`, `1 1/8-7`, `1/2 UNF`.

use super::Thread;
use crate::quantity::{ValueError, ValueErrorKind};

/// The thread at the front of `text` and where it ends.
pub(super) fn thread(text: &str) -> Result<(Thread, usize), ValueError> {
    let start = text.len() - text.trim_start().len();
    let mut cursor = Cursor { text, at: start };
    let read = if cursor.eat_any(&['M', 'm']) {
        metric(&mut cursor)
    } else {
        unified(&mut cursor)
    };
    let thread = read.map_err(|reason| {
        let end = cursor.at.max(
            text[start..]
                .find(char::is_whitespace)
                .map_or(text.len(), |space| start + space),
        );
        let found = text[start..end].trim_end().to_owned();
        ValueError::new(
            start..start + found.len(),
            ValueErrorKind::UnknownThread { found, reason },
        )
    })?;
    cursor.skip_tolerance_class();
    Ok((thread, cursor.at))
}

fn metric(cursor: &mut Cursor<'_>) -> Result<Thread, String> {
    let size = format!("M{}", plain(cursor.figure()));
    if Thread::of_size(&size).next().is_none() {
        return Err(if size == "M" {
            "it has no diameter".to_owned()
        } else {
            format!("the tables hold no {size}")
        });
    }
    let mark = cursor.at;
    cursor.skip_space();
    if cursor.eat_any(&['x', 'X', '×', '*']) {
        cursor.skip_space();
        let pitch = plain(cursor.figure());
        let listed: Vec<&str> = Thread::of_size(&size).map(Thread::pitch_text).collect();
        return Thread::of_size(&size)
            .find(|thread| thread.pitch_text() == pitch)
            .ok_or_else(|| format!("{size} has the pitches {}", listed.join(", ")));
    }
    cursor.at = mark;
    Thread::of_size(&size)
        .find(|thread| thread.series() == "coarse")
        .ok_or_else(|| format!("{size} needs its pitch"))
}

fn unified(cursor: &mut Cursor<'_>) -> Result<Thread, String> {
    let size = cursor
        .inch_size()
        .ok_or("a thread starts with `M`, an inch size or `No.`")?;
    if Thread::of_size(&size).next().is_none() {
        return Err(format!("the tables hold no {size} in the unified series"));
    }
    cursor.eat_any(&['"', '″']);
    let mark = cursor.at;
    cursor.skip_space();
    let count = if cursor.eat_any(&['-', '–', '−']) {
        cursor.skip_space();
        cursor.figure()
    } else {
        ""
    };
    if count.is_empty() {
        cursor.at = mark;
    }
    let series = cursor.series();
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
    Thread::of_size(&size)
        .find(|thread| by_count(thread) && named(thread))
        .ok_or_else(|| match Thread::of_size(&size).find(by_count) {
            Some(thread) if !count.is_empty() => format!("{size}-{count} is {}", thread.series()),
            _ => {
                let listed: Vec<String> = Thread::of_size(&size).map(|thread| thread.to_string()).collect();
                format!("the tables hold {}", listed.join(", "))
            }
        })
}

/// A figure without the zeros that say nothing: `8.0` is M8, `1.50` is a pitch of 1.5.
fn plain(figure: &str) -> String {
    let figure = figure.trim_start_matches('0');
    let figure = if figure.contains('.') {
        figure.trim_end_matches('0').trim_end_matches('.')
    } else {
        figure
    };
    if figure.starts_with('.') {
        format!("0{figure}")
    } else {
        figure.to_owned()
    }
}

struct Cursor<'a> {
    text: &'a str,
    /// Always on a character boundary.
    at: usize,
}

impl<'a> Cursor<'a> {
    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn skip_space(&mut self) {
        self.at += self.rest().len() - self.rest().trim_start().len();
    }

    fn eat_any(&mut self, letters: &[char]) -> bool {
        match self.rest().chars().next() {
            Some(letter) if letters.contains(&letter) => {
                self.at += letter.len_utf8();
                true
            }
            _ => false,
        }
    }

    fn digits(&mut self) -> &'a str {
        let rest = self.rest();
        let length = rest.bytes().take_while(u8::is_ascii_digit).count();
        self.at += length;
        &rest[..length]
    }

    /// Digits with at most one decimal point between them.
    fn figure(&mut self) -> &'a str {
        let start = self.at;
        self.digits();
        let mark = self.at;
        if self.eat_any(&['.']) && self.digits().is_empty() {
            self.at = mark;
        }
        &self.text[start..self.at]
    }

    /// `3/8`, `1-1/8` or `1 1/8`, `1`, `No. 10`, `#10`, `10` (a numbered size when it is above one).
    fn inch_size(&mut self) -> Option<String> {
        if self.eat_any(&['#']) || self.eat_number_word() {
            self.skip_space();
            let number = self.digits();
            return (!number.is_empty()).then(|| format!("No. {number}"));
        }
        let whole = self.digits();
        if whole.is_empty() {
            return None;
        }
        if let Some(under) = self.denominator() {
            return Some(format!("{whole}/{under}"));
        }
        let mark = self.at;
        if self.eat_any(&['-', '–', ' ']) {
            let over = self.digits();
            if let (false, Some(under)) = (over.is_empty(), self.denominator()) {
                return Some(format!("{whole}-{over}/{under}"));
            }
        }
        self.at = mark;
        Some(if whole == "1" {
            "1".to_owned()
        } else {
            format!("No. {whole}")
        })
    }

    fn denominator(&mut self) -> Option<&'a str> {
        let mark = self.at;
        if self.eat_any(&['/', '⁄']) {
            let under = self.digits();
            if !under.is_empty() {
                return Some(under);
            }
        }
        self.at = mark;
        None
    }

    /// `No.`, `No`, `Nr.` in any case.
    fn eat_number_word(&mut self) -> bool {
        let rest = self.rest();
        let word = rest.get(..2).unwrap_or("");
        if !word.eq_ignore_ascii_case("no") && !word.eq_ignore_ascii_case("nr") {
            return false;
        }
        self.at += 2;
        self.eat_any(&['.', '°']);
        true
    }

    fn series(&mut self) -> Option<&'static str> {
        let mark = self.at;
        self.skip_space();
        self.eat_any(&['-']);
        for (spelling, series) in [
            ("UNRC", "UNC"),
            ("UNRF", "UNF"),
            ("UNC", "UNC"),
            ("UNF", "UNF"),
            ("UNS", "UNS"),
            ("NC", "UNC"),
            ("NF", "UNF"),
        ] {
            if self
                .rest()
                .get(..spelling.len())
                .is_some_and(|front| front.eq_ignore_ascii_case(spelling))
            {
                self.at += spelling.len();
                return Some(series);
            }
        }
        self.at = mark;
        None
    }

    /// `-6g`, `-6H`, `-6g6g`, `-2A`, ` 2B`: digit and letter, which say how well the thread fits, not how strong it is.
    fn skip_tolerance_class(&mut self) {
        let mark = self.at;
        self.skip_space();
        self.eat_any(&['-']);
        let word_end = self.rest().find(char::is_whitespace).unwrap_or(self.rest().len());
        let word = &self.rest()[..word_end];
        let bytes = word.as_bytes();
        let pairs = matches!(bytes.len(), 2 | 4)
            && bytes
                .chunks(2)
                .all(|pair| matches!(pair, [b'1'..=b'9', b'A' | b'B' | b'e'..=b'h' | b'G' | b'H']));
        if pairs {
            self.at += word_end;
        } else {
            self.at = mark;
        }
    }
}

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
        assert!(message("M9").ends_with("the tables hold no M9"));
        assert!(message("bolt").contains("a thread starts with"));
    }
}
