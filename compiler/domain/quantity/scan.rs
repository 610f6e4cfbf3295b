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
        self.text.get(self.position..).unwrap_or_default()
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
        let next = front(rest, |letter| !letter.is_alphabetic());
        if !words.iter().any(|word| next.eq_ignore_ascii_case(word)) {
            return false;
        }
        self.position = self.text.len() - rest.len() + next.len();
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
                let found = self.part(&at).to_owned();
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
        let found = self.part(&at).to_owned();
        Err(ValueError::new(at, ValueErrorKind::TrailingText { found }))
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
        let word = front(rest, char::is_whitespace);
        (word.to_owned(), start..start + word.len())
    }

    fn part(&self, at: &Range<usize>) -> &'a str {
        self.text.get(at.clone()).unwrap_or_default()
    }

    /// A number: `12`, `12.5`, `.5`, `-3`, `−3`, `1/2`, `1-1/2`, `1 1/2`. No plus sign: that is the caller's to read.
    pub fn number(&mut self) -> Result<Found<Figure>, ValueError> {
        self.skip_space();
        let start = self.position;
        let below = self.rest().strip_prefix(['-', '−']);
        let negative = below.is_some();
        let unsigned = below.unwrap_or(self.rest());
        let digits_at = self.text.len() - unsigned.len();
        let (whole, after) = split_digits(unsigned);
        let fraction = after.strip_prefix('.').map_or(0, digits);
        let point = usize::from(fraction > 0);
        let (number, after) = split(unsigned, whole.len() + point + fraction);
        let end = digits_at + number.len();
        if number.is_empty()
            && let Some(odd) = odd_number(unsigned, 0)
        {
            let at = start..digits_at + odd.length;
            let found = self.part(&at).to_owned();
            return Err(ValueError::new(
                at,
                ValueErrorKind::OddNumber {
                    found,
                    suggestion: odd.becomes,
                },
            ));
        }
        if number.is_empty() {
            let (found, at) = self.word();
            if is_overload(&found) {
                return Err(ValueError::new(at, ValueErrorKind::Overload { found }));
            }
            return Err(ValueError::new(at, ValueErrorKind::NotANumber { found }));
        }
        if let Some(length) = power_of_ten(after) {
            let at = start..end + length;
            let found = self.part(&at).to_owned();
            return Err(ValueError::new(at, ValueErrorKind::Exponent { found }));
        }
        if after.strip_prefix(',').is_some_and(|after| digits(after) > 0) {
            let run = front(after, |next| !next.is_ascii_digit() && next != ',' && next != '.');
            let at = start..end + run.len();
            let found = self.part(&at).trim_end_matches(['.', ',']).to_owned();
            return Err(ValueError::new(at, ValueErrorKind::CommaInNumber { found }));
        }
        if let Some(odd) = odd_number(unsigned, number.len()) {
            let at = start..digits_at + odd.length;
            let found = self.part(&at).to_owned();
            let suggestion = odd
                .becomes
                .map(|number| format!("{}{number}", if negative { "-" } else { "" }));
            return Err(ValueError::new(at, ValueErrorKind::OddNumber { found, suggestion }));
        }
        if fraction == 0
            && let Some((common, length)) = common_fraction(unsigned)
        {
            let at = start..digits_at + length;
            let text = self.part(&at);
            let out_of_range =
                || ValueError::new(at.clone(), ValueErrorKind::NumberOutOfRange { found: text.to_owned() });
            let value = common.ok_or_else(out_of_range)?;
            self.position = at.end;
            return Ok((Figure::fraction(text, if negative { -value } else { value }), at));
        }
        let at = start..end;
        let text = self.part(&at);
        let value = Decimal::from_str_exact(number)
            .map_err(|_| ValueError::new(at.clone(), ValueErrorKind::NumberOutOfRange { found: text.to_owned() }))?;
        self.position = end;
        Ok((Figure::written(text, if negative { -value } else { value }), at))
    }

    /// A unit, if something that could be one comes next. Words after a known unit are left where they are.
    pub(crate) fn unit(&mut self, wanted: Option<Dimension>) -> Result<Option<Found<Unit>>, ValueError> {
        self.skip_space();
        let start = self.position;
        let run = unit_run(self.rest());
        if let Some((unit, end)) = Unit::longest(run, part_ends(run)) {
            self.position = start + end;
            return Ok(Some((unit, start..self.position)));
        }
        if run.is_empty() {
            return Ok(None);
        }
        let power = run.strip_prefix(['e', 'E']);
        if power.is_some_and(|power| !power.is_empty() && power.bytes().all(|byte| byte.is_ascii_digit())) {
            // The figure before it belongs to the exponent.
            let before = self.part(&(0..start)).trim_end();
            let from = before.trim_end_matches(|letter: char| letter.is_ascii_digit() || letter == '.');
            let at = from.len()..start + run.len();
            let found = self.part(&at).to_owned();
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
    let (number, rest) = split(text, end);
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
    let run = front(text, |c| !c.is_ascii_digit() && c != '.' && digit(c).is_none());
    let has_digit = |c: char| c.is_ascii_digit() || !c.is_ascii() && digit(c).is_some();
    let goes_on = text
        .strip_prefix(run)
        .is_some_and(|rest| rest.starts_with(char::is_alphabetic));
    let odd = run.chars().any(|c| digit(c).is_some()) && !run.contains("..");
    if odd && !goes_on && run.chars().any(has_digit) {
        let becomes = run.chars().map(|c| digit(c).unwrap_or(c)).collect();
        return Some(Odd {
            length: run.len(),
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
        let power = front(rest, char::is_alphabetic);
        return Some(Odd {
            length: end + power.trim_end().len(),
            becomes: None,
        });
    }
    // Thousands parted by spaces or apostrophes.
    let mut left = rest;
    while let Some(after) = left.strip_prefix([' ', '\u{a0}', '\u{2009}', '\u{202f}', '\'', '’'])
        && let (thousand, after) = split_digits(after)
        && thousand.len() == 3
        && !number.contains('.')
        && number.len() <= 3
        && !after.starts_with('/')
    {
        left = after;
    }
    let (run, _) = split(text, text.len() - left.len());
    (run.len() > end).then(|| Odd {
        length: run.len(),
        becomes: Some(run.chars().filter(char::is_ascii_digit).collect()),
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
        let (power, rest) = split_digits(after.strip_prefix(['-', '+', '−']).unwrap_or(after));
        let goes_on = rest.starts_with(char::is_alphanumeric);
        return (!power.is_empty() && !goes_on).then_some(text.len() - rest.len());
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

/// The first bytes of a text and what follows them; all of it and nothing, if they don't end on a character's boundary in it.
fn split(text: &str, length: usize) -> (&str, &str) {
    text.split_at_checked(length).unwrap_or((text, ""))
}

fn split_digits(text: &str) -> (&str, &str) {
    split(text, digits(text))
}

/// What stands before the first letter that ends it.
fn front(text: &str, ends: impl Fn(char) -> bool) -> &str {
    text.split(ends).next().unwrap_or_default()
}

/// `3/8` at the front of `text`: its two numbers, and what follows.
fn over_and_under(text: &str) -> Option<(&str, &str, &str)> {
    let (over, rest) = split_digits(text);
    let (under, rest) = split_digits(rest.strip_prefix('/')?);
    (!over.is_empty() && !under.is_empty()).then_some((over, under, rest))
}

/// A common fraction at the front of `text`: its value (`None` if it can't be held exactly) and its length. `3/8`, `1-1/2`, `1 1/2`.
fn common_fraction(text: &str) -> Option<(Option<Decimal>, usize)> {
    let (whole, after) = split_digits(text);
    let (integer, (over, under, rest)) = match over_and_under(text) {
        Some(plain) => ("", plain),
        None if whole.is_empty() => return None,
        None => (whole, over_and_under(after.strip_prefix(['-', ' '])?)?),
    };
    let value = || -> Option<Decimal> {
        let integer: u32 = if integer.is_empty() { 0 } else { integer.parse().ok()? };
        let over: u32 = over.parse().ok()?;
        let under: u32 = under.parse().ok()?;
        // Halves down to 128ths are finite decimals and the only fractions on rules and spanners.
        (under.is_power_of_two() && (2..=128).contains(&under)).then_some(())?;
        Decimal::from(over)
            .checked_div(Decimal::from(under))?
            .checked_add(Decimal::from(integer))
    };
    Some((value(), text.len() - rest.len()))
}

/// Where the parts of a run end, from its first on: at spaces, and at a digit after a letter (`1h30min` is `h` and `30min`).
fn part_ends(run: &str) -> impl Iterator<Item = usize> {
    let mut previous = ' ';
    let inner = run.char_indices().filter_map(move |(at, letter)| {
        let space = letter.is_whitespace() && !previous.is_whitespace();
        let ends = space || (letter.is_ascii_digit() && previous.is_alphabetic());
        previous = letter;
        ends.then_some(at)
    });
    inner.chain([run.len()])
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
            't' => previous.is_whitespace() && split(text, at).1.starts_with("to "),
            _ => false,
        };
        if stops {
            end = at;
            break;
        }
        previous = letter;
    }
    split(text, end).0.trim_end()
}
