//! Reads numbers, units and signs off the front of a text. Every position is a byte offset on a character boundary.

use std::ops::Range;

use rust_decimal::Decimal;

use super::{Dimension, Figure, Measure, Unit, ValueError, ValueErrorKind};

/// A place in a text, moving forward.
#[derive(Clone, Debug)]
pub struct Scan<'a> {
    text: &'a str,
    position: usize,
}

/// A figure and where it stands.
pub(crate) type Found<T> = (T, Range<usize>);

impl<'a> Scan<'a> {
    pub fn new(text: &'a str) -> Scan<'a> {
        Scan { text, position: 0 }
    }

    pub(crate) fn rest(&self) -> &'a str {
        &self.text[self.position..]
    }

    pub(crate) fn skip_space(&mut self) {
        self.position += self.rest().len() - self.rest().trim_start().len();
    }

    /// Whether only space is left.
    pub(crate) fn at_end(&self) -> bool {
        self.rest().trim().is_empty()
    }

    /// Goes past the first of `signs` that comes next, spaces aside.
    pub(crate) fn eat(&mut self, signs: &[&str]) -> bool {
        let rest = self.rest().trim_start();
        let Some(sign) = signs.iter().find(|sign| rest.starts_with(**sign)) else {
            return false;
        };
        self.position = self.text.len() - rest.len() + sign.len();
        true
    }

    /// Goes past the first of `words` that comes next as a whole word in any case.
    pub(crate) fn eat_word(&mut self, words: &[&str]) -> bool {
        let rest = self.rest().trim_start();
        let end = rest.find(|letter: char| !letter.is_alphabetic()).unwrap_or(rest.len());
        if !words.iter().any(|word| rest[..end].eq_ignore_ascii_case(word)) {
            return false;
        }
        self.position = self.text.len() - rest.len() + end;
        true
    }

    /// Goes past a word that may be shortened by a point: `max`, `max.`.
    ///
    /// # Errors
    /// If a digit follows the point without a space: `max.5` may be 5 or 0.5.
    pub(crate) fn eat_shortened(&mut self, words: &[&str]) -> Result<bool, ValueError> {
        let start = self.text.len() - self.rest().trim_start().len();
        if !self.eat_word(words) {
            return Ok(false);
        }
        if let Some(after) = self.rest().strip_prefix('.') {
            if after.starts_with(|next: char| next.is_ascii_digit()) {
                let at = start..self.position + 1 + digits(after);
                let found = self.text[at.clone()].to_owned();
                return Err(ValueError::new(at, ValueErrorKind::UnclearPoint { found }));
            }
            if !after.starts_with('.') {
                self.position += 1;
            }
        }
        Ok(true)
    }

    /// The sign between two ends of a range: `..`, `…`, `to`, or a dash with a number after it.
    pub(crate) fn eat_range(&mut self) -> bool {
        self.eat(&["...", "..", "…", "–", "—"]) || self.eat_word(&["to"]) || {
            let mut ahead = self.clone();
            let dash = ahead.eat(&["-"])
                && ahead
                    .rest()
                    .trim_start()
                    .starts_with(|next: char| next.is_ascii_digit() || next == '.');
            if dash {
                *self = ahead;
            }
            dash
        }
    }

    /// The sign before a tolerance both ways: `±`, `+/-`, `+-`.
    pub(crate) fn eat_plus_minus(&mut self) -> bool {
        self.eat(&["±", "+/-", "+/−", "+-", "+−"])
    }

    /// Nothing may be left but space.
    pub(crate) fn finish(&self) -> Result<(), ValueError> {
        if self.at_end() {
            return Ok(());
        }
        let at = self.remainder();
        Err(ValueError::new(
            at.clone(),
            ValueErrorKind::TrailingText {
                found: self.text[at].to_owned(),
            },
        ))
    }

    /// What is left, without the space around it.
    pub(crate) fn remainder(&self) -> Range<usize> {
        let rest = self.rest();
        let start = self.text.len() - rest.trim_start().len();
        start..(start + rest.trim().len())
    }

    /// The next word up to a space, for messages about something that isn't what it should be.
    pub(crate) fn word(&self) -> Found<String> {
        let rest = self.rest().trim_start();
        let start = self.text.len() - rest.len();
        let end = start + rest.find(char::is_whitespace).unwrap_or(rest.len());
        (self.text[start..end].to_owned(), start..end)
    }

    /// A number: `12`, `12.5`, `.5`, `-3`, `−3`, `1/2`, `1-1/2`, `1 1/2`. No plus sign: that is the caller's to read.
    pub fn number(&mut self) -> Result<Found<Figure>, ValueError> {
        self.skip_space();
        let start = self.position;
        let negative = self.rest().starts_with(['-', '−']);
        let digits_at = start
            + if negative {
                self.rest().chars().next().map_or(0, char::len_utf8)
            } else {
                0
            };
        let whole = digits(&self.text[digits_at..]);
        let mut end = digits_at + whole;
        let fraction = self.text[end..].strip_prefix('.').map_or(0, digits);
        if fraction > 0 {
            end += 1 + fraction;
        }
        if whole + fraction == 0
            && let Some(odd) = odd_number(&self.text[digits_at..], 0)
        {
            let at = start..digits_at + odd.length;
            let found = self.text[at.clone()].to_owned();
            return Err(ValueError::new(
                at,
                ValueErrorKind::OddNumber {
                    found,
                    suggestion: odd.becomes,
                },
            ));
        }
        if whole + fraction == 0 {
            let (found, at) = self.word();
            if is_overload(&found) {
                return Err(ValueError::new(at, ValueErrorKind::Overload { found }));
            }
            return Err(ValueError::new(at, ValueErrorKind::NotANumber { found }));
        }
        if let Some(length) = power_of_ten(&self.text[end..]) {
            let at = start..end + length;
            let found = self.text[at.clone()].to_owned();
            return Err(ValueError::new(at, ValueErrorKind::Exponent { found }));
        }
        if let Some(after) = self.text[end..].strip_prefix(',')
            && digits(after) > 0
        {
            let run = self.text[end..].find(|next: char| !next.is_ascii_digit() && next != ',' && next != '.');
            let at = start..run.map_or(self.text.len(), |run| end + run);
            let found = self.text[at.clone()].trim_end_matches(['.', ',']).to_owned();
            return Err(ValueError::new(at, ValueErrorKind::CommaInNumber { found }));
        }
        if let Some(odd) = odd_number(&self.text[digits_at..], end - digits_at) {
            let at = start..digits_at + odd.length;
            let found = self.text[at.clone()].to_owned();
            let suggestion = odd
                .becomes
                .map(|number| format!("{}{number}", if negative { "-" } else { "" }));
            return Err(ValueError::new(at, ValueErrorKind::OddNumber { found, suggestion }));
        }
        if fraction == 0
            && let Some((common, length)) = common_fraction(&self.text[digits_at..], whole)
        {
            let at = start..digits_at + length;
            let text = &self.text[at.clone()];
            let out_of_range =
                || ValueError::new(at.clone(), ValueErrorKind::NumberOutOfRange { found: text.to_owned() });
            let value = common.ok_or_else(out_of_range)?;
            self.position = at.end;
            return Ok((Figure::fraction(text, if negative { -value } else { value }), at));
        }
        let at = start..end;
        let text = &self.text[at.clone()];
        let value = Decimal::from_str_exact(&self.text[digits_at..end])
            .map_err(|_| ValueError::new(at.clone(), ValueErrorKind::NumberOutOfRange { found: text.to_owned() }))?;
        self.position = end;
        Ok((Figure::written(text, if negative { -value } else { value }), at))
    }

    /// A unit, if something that could be one comes next. Words after a known unit are left where they are.
    pub(crate) fn unit(&mut self, wanted: Option<Dimension>) -> Result<Option<Found<Unit>>, ValueError> {
        self.skip_space();
        let start = self.position;
        let run = unit_run(self.rest());
        let mut length = run.len();
        while length > 0 {
            if let Some(unit) = Unit::find(&run[..length]) {
                self.position = start + length;
                return Ok(Some((unit, start..start + length)));
            }
            length = run[..last_break(&run[..length])].trim_end().len();
        }
        if run.is_empty() {
            return Ok(None);
        }
        if run.starts_with(['e', 'E']) && run.len() > 1 && run[1..].bytes().all(|byte| byte.is_ascii_digit()) {
            // The figure before it belongs to the exponent.
            let figure = self.text[..start].trim_end();
            let front = figure.rfind(|letter: char| !letter.is_ascii_digit() && letter != '.');
            let from = front.map_or(0, |at| at + figure[at..].chars().next().map_or(0, char::len_utf8));
            let at = from..start + run.len();
            let found = self.text[at.clone()].to_owned();
            return Err(ValueError::new(at, ValueErrorKind::Exponent { found }));
        }
        let (suggestion, choices) = Unit::suggest(run, wanted);
        let kind = ValueErrorKind::UnknownUnit {
            found: run.to_owned(),
            suggestion,
            choices,
        };
        Err(ValueError::new(start..start + run.len(), kind))
    }

    /// A number with its unit.
    pub(crate) fn measure(&mut self, wanted: Option<Dimension>) -> Result<Measured, ValueError> {
        let (figure, figure_at) = self.number()?;
        match self.unit(wanted)? {
            Some((unit, unit_at)) => Ok(Measured {
                measure: Measure::new(figure, unit),
                figure_at,
                unit_at,
            }),
            None => Err(ValueError::new(
                figure_at,
                ValueErrorKind::MissingUnit { expected: wanted },
            )),
        }
    }
}

/// A measure and where its two parts stand.
#[derive(Clone, Debug)]
pub(crate) struct Measured {
    pub(crate) measure: Measure,
    pub(crate) figure_at: Range<usize>,
    pub(crate) unit_at: Range<usize>,
}

impl Measured {
    /// Refuses a unit that isn't of one of the dimensions.
    pub(crate) fn expect(&self, expected: &[Dimension]) -> Result<(), ValueError> {
        let unit = self.measure.unit();
        if expected.contains(&unit.dimension()) {
            return Ok(());
        }
        let kind = ValueErrorKind::WrongDimension {
            expected: expected.to_vec(),
            found: unit.dimension(),
            unit,
        };
        Err(ValueError::new(self.unit_at.clone(), kind))
    }
}

/// A number that goes on with something that is no digit.
struct Odd {
    /// Bytes of the whole number.
    length: usize,
    /// How it is written, if that is certain.
    becomes: Option<String>,
}

/// Fractions in one sign, with how they are written.
const FRACTIONS: [(char, Option<&str>); 15] = [
    ('½', Some("1/2")),
    ('¼', Some("1/4")),
    ('¾', Some("3/4")),
    ('⅛', Some("1/8")),
    ('⅜', Some("3/8")),
    ('⅝', Some("5/8")),
    ('⅞', Some("7/8")),
    ('⅓', None),
    ('⅔', None),
    ('⅕', None),
    ('⅖', None),
    ('⅗', None),
    ('⅘', None),
    ('⅙', None),
    ('⅚', None),
];

/// Looks at what follows the `end` bytes of digits that a text begins with.
fn odd_number(text: &str, end: usize) -> Option<Odd> {
    let (number, rest) = text.split_at(end);
    let next = rest.trim_start_matches(' ').chars().next()?;
    let space = rest.len() - rest.trim_start_matches(' ').len();
    if let Some((_, part)) = FRACTIONS.iter().find(|(sign, _)| *sign == next) {
        let becomes = part.map(|part| {
            if end == 0 {
                part.to_string()
            } else {
                format!("{number} {part}")
            }
        });
        return Some(Odd {
            length: end + space + next.len_utf8(),
            becomes: becomes.filter(|_| !number.contains('.')),
        });
    }
    // Letters for digits, and digits of other scripts: the whole run is shown.
    let digit = |c: char| match c {
        'O' => Some('0'),
        'I' => Some('1'),
        '０'..='９' => char::from_digit(c as u32 - '０' as u32, 10),
        '٠'..='٩' => char::from_digit(c as u32 - '٠' as u32, 10),
        _ => None,
    };
    let run: usize = text
        .chars()
        .take_while(|c| c.is_ascii_digit() || *c == '.' || digit(*c).is_some())
        .map(char::len_utf8)
        .sum();
    let has_digit = |c: char| c.is_ascii_digit() || !c.is_ascii() && digit(c).is_some();
    let ends = !text[run..].starts_with(char::is_alphabetic);
    let odd = text[..run].chars().any(|c| digit(c).is_some()) && !text[..run].contains("..");
    if odd && ends && text[..run].chars().any(has_digit) {
        let becomes = text[..run].chars().map(|c| digit(c).unwrap_or(c)).collect();
        return Some(Odd {
            length: run,
            becomes: Some(becomes),
        });
    }
    if end == 0 {
        return None;
    }
    // `10²`, `× 10³`.
    let raised = |c: char| matches!(c, '²' | '³' | '¹' | '⁰' | '⁴'..='⁹' | '⁻');
    let times = rest.trim_start().strip_prefix('×').map(str::trim_start);
    if rest.starts_with(raised) || times.is_some_and(|after| after.starts_with("10")) {
        let length = rest.find(|c: char| c.is_alphabetic()).unwrap_or(rest.len());
        return Some(Odd {
            length: end + rest[..length].trim_end().len(),
            becomes: None,
        });
    }
    // Thousands parted by spaces or apostrophes.
    let mut length = end;
    while let Some(sign) = text[length..]
        .chars()
        .next()
        .filter(|c| matches!(c, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}' | '\'' | '’'))
        && digits(&text[length + sign.len_utf8()..]) == 3
        && !number.contains('.')
        && number.len() <= 3
        && !text[length + sign.len_utf8() + 3..].starts_with('/')
    {
        length += sign.len_utf8() + 3;
    }
    (length > end).then(|| Odd {
        length,
        becomes: Some(text[..length].chars().filter(char::is_ascii_digit).collect()),
    })
}

/// What a meter shows when a reading is beyond its range.
fn is_overload(word: &str) -> bool {
    let letters: String = word.chars().filter(|letter| *letter != '.').collect();
    letters.eq_ignore_ascii_case("OL") || letters.eq_ignore_ascii_case("OVLD")
}

/// The length of a power of ten at the front of `text`, behind the digits of a number: `e-3`, `E5 N`, `×10^-3`, ` x 10⁻³`.
/// `30e8` may be a shaft as well: it is refused like the others, and told to be written with a space.
fn power_of_ten(text: &str) -> Option<usize> {
    if let Some(after) = text.strip_prefix(['e', 'E']) {
        let signed = after.starts_with(['-', '+', '−']);
        let sign = if signed {
            after.chars().next().map_or(0, char::len_utf8)
        } else {
            0
        };
        let count = digits(&after[sign..]);
        let end = 1 + sign + count;
        let goes_on = text
            .get(end..)
            .is_some_and(|rest| rest.starts_with(char::is_alphanumeric));
        return (count > 0 && !goes_on).then_some(end);
    }
    let after = text.trim_start().strip_prefix(['×', 'x', 'X', '*', '·', '⋅'])?;
    let power = after.trim_start().strip_prefix("10")?;
    let raised = |letter: char| matches!(letter, '^' | '⁻' | '⁺' | '⁰' | '¹' | '²' | '³' | '⁴'..='⁹');
    let raised_to = power
        .strip_prefix("**")
        .or_else(|| power.starts_with(raised).then_some(power))?;
    let rest = raised_to.trim_start_matches(|letter: char| {
        raised(letter) || matches!(letter, '-' | '+' | '−') || letter.is_ascii_digit()
    });
    Some(text.len() - rest.len())
}

/// How many ASCII digits `text` starts with.
fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// A common fraction at the front of `text`, whose first `whole` bytes are digits: its value (`None` if it can't be held exactly)
/// and its length. `3/8`, `1-1/2`, `1 1/2`.
fn common_fraction(text: &str, whole: usize) -> Option<(Option<Decimal>, usize)> {
    let fraction_at = |from: usize| -> Option<(usize, usize, usize)> {
        let over = digits(text.get(from..)?);
        let slash = from + over;
        let rest = text.get(slash..)?.strip_prefix('/')?;
        let under = digits(rest);
        (over > 0 && under > 0).then_some((from, slash, slash + 1 + under))
    };
    let (integer, (from, slash, end)) = match fraction_at(0) {
        Some(plain) => ("", plain),
        None if whole > 0 && text[whole..].starts_with(['-', ' ']) => (&text[..whole], fraction_at(whole + 1)?),
        None => return None,
    };
    let value = || -> Option<Decimal> {
        let integer: u32 = if integer.is_empty() { 0 } else { integer.parse().ok()? };
        let over: u32 = text[from..slash].parse().ok()?;
        let under: u32 = text[slash + 1..end].parse().ok()?;
        // Halves down to 128ths are finite decimals and the only fractions on rules and spanners.
        (under.is_power_of_two() && (2..=128).contains(&under)).then_some(())?;
        Decimal::from(over)
            .checked_div(Decimal::from(under))?
            .checked_add(Decimal::from(integer))
    };
    Some((value(), end))
}

/// Where the last part of a run begins: after its last space, or at a digit after a letter (`1h30min` is `h` and `30min`).
fn last_break(run: &str) -> usize {
    let mut found = 0;
    let mut previous = ' ';
    for (at, letter) in run.char_indices() {
        if letter.is_whitespace() || (letter.is_ascii_digit() && previous.is_alphabetic()) {
            found = at;
        }
        previous = letter;
    }
    found
}

/// The stretch at the front of `text` that could be a unit: up to a sign, a bracket, a number after a space, or the word `to`.
fn unit_run(text: &str) -> &str {
    let mut previous = ' ';
    let mut end = text.len();
    let mut letters = text.char_indices().peekable();
    while let Some((at, letter)) = letters.next() {
        let next = letters.peek().map_or(' ', |(_, next)| *next);
        let stops = match letter {
            '±' | '+' | '−' | '–' | '—' | '…' | ',' | ';' | ':' | '(' | ')' | '[' | ']' | '{' | '}' | '=' | '<'
            | '>' | '≤' | '≥' => true,
            '/' => at == 0,
            '.' => next == '.' || next.is_ascii_digit(),
            '-' => !((previous.is_alphabetic() || previous == '.') && next.is_alphabetic()),
            letter if letter.is_ascii_digit() => previous.is_whitespace() || at == 0,
            't' => previous.is_whitespace() && text[at..].starts_with("to "),
            _ => false,
        };
        if stops {
            end = at;
            break;
        }
        previous = letter;
    }
    text[..end].trim_end()
}
