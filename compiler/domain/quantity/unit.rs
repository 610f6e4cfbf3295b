//! Units of measurement, as data.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::OnceLock;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::Deserialize;

use super::Dimension;
use crate::table::{self, broken};

/// The table of units: canonical symbol, dimension, system (`metric` or `inch-pound`), factor to the coherent SI unit, offset, other spellings, source.
const UNITS: &str = include_str!("../../tables/units.csv");

/// A unit: a row of `compiler/tables/units.csv`. Cheap to copy; two are equal when they are the same row.
#[derive(Clone, Copy)]
pub struct Unit(&'static Definition);

/// What a row of the table defines.
///
/// A value in SI units is `(figure + offset) · numerator / denominator · π^turns`. Keeping the fraction and the power of π apart
/// keeps every conversion between inch, pound and gravity units exact and lets π cancel between angle units.
struct Definition {
    symbol: String,
    dimension: Dimension,
    inch_pound: bool,
    numerator: Decimal,
    denominator: Decimal,
    turns: i32,
    offset: Decimal,
    spellings: Vec<String>,
    source: String,
}

#[derive(Deserialize)]
struct Row {
    symbol: String,
    dimension: String,
    system: String,
    factor: String,
    offset: Exact,
    spellings: String,
    source: String,
}

/// A decimal in a table cell; the crate's own `Deserialize` would go by way of a binary float.
#[derive(Deserialize)]
#[serde(try_from = "String")]
struct Exact(Decimal);

impl TryFrom<String> for Exact {
    type Error = rust_decimal::Error;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        Decimal::from_str_exact(&text).map(Exact)
    }
}

/// Units in table order, and the index of each by every accepted spelling in its folded form.
struct Table {
    units: Vec<Definition>,
    by_spelling: BTreeMap<String, usize>,
    /// Bytes of the longest of these.
    longest: usize,
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        let units: Vec<Definition> = table::rows::<Row>("units.csv", UNITS)
            .into_iter()
            .map(definition)
            .collect();
        let mut by_spelling = BTreeMap::new();
        for (index, unit) in units.iter().enumerate() {
            for spelling in std::iter::once(&unit.symbol).chain(&unit.spellings) {
                by_spelling.entry(fold(spelling)).or_insert(index);
            }
        }
        let longest = by_spelling.keys().map(String::len).max().unwrap_or(0);
        Table {
            units,
            by_spelling,
            longest,
        }
    })
}

fn definition(row: Row) -> Definition {
    let (numerator, denominator, turns) = factor(&row.factor);
    Definition {
        dimension: Dimension::from_name(&row.dimension)
            .unwrap_or_else(|| broken(format_args!("units.csv: dimension {}", row.dimension))),
        symbol: row.symbol,
        inch_pound: row.system == "inch-pound",
        numerator,
        denominator,
        turns,
        offset: row.offset.0,
        spellings: row
            .spellings
            .split('|')
            .filter(|spelling| !spelling.is_empty())
            .map(str::to_owned)
            .collect(),
        source: row.source,
    }
}

/// Reads `a*b/c` with `pi` among the terms: numerator, denominator, power of π.
fn factor(text: &str) -> (Decimal, Decimal, i32) {
    let (mut numerator, mut denominator, mut turns) = (Decimal::ONE, Decimal::ONE, 0);
    for (index, quotient) in text.split('/').enumerate() {
        for (inner, term) in quotient.split('*').enumerate() {
            let divides = index > 0 && inner == 0;
            if term == "pi" {
                turns += if divides { -1 } else { 1 };
                continue;
            }
            let term = Decimal::from_str_exact(term)
                .unwrap_or_else(|error| broken(format_args!("units.csv: factor {text}: {error}")));
            if divides {
                denominator *= term;
            } else {
                numerator *= term;
            }
        }
    }
    (numerator, denominator, turns)
}

/// The form in which spellings are compared: without spaces, products, hyphens and abbreviation points; one letter for each of the
/// look-alikes of micro, degree, ohm, prime and superscript. Case counts: `mPa` isn't `MPa`.
fn fold(spelling: &str) -> String {
    let mut folded = String::with_capacity(spelling.len());
    for letter in spelling.chars() {
        match letter {
            '·' | '⋅' | '•' | '∙' | '×' | '*' | '.' | '-' | '‐' | '‑' | '_' | '^' => {}
            'µ' | 'μ' => folded.push('u'),
            'º' | '˚' => folded.push('°'),
            '℃' => folded.push_str("°C"),
            '℉' => folded.push_str("°F"),
            '\u{2126}' => folded.push('Ω'),
            '″' | '”' | '“' => folded.push('"'),
            '′' | '’' | '‘' => folded.push('\''),
            '⁄' | '∕' => folded.push('/'),
            '²' | '₂' => folded.push('2'),
            '³' => folded.push('3'),
            '⁻' => {}
            '¹' => folded.push('1'),
            letter if letter.is_whitespace() => {}
            letter => folded.push(letter),
        }
    }
    folded
}

impl Unit {
    /// The unit of that spelling, if there is one. Dots, spaces and hyphens between the parts don't matter: `Nm`, `N.m`, `N·m`.
    pub fn find(spelling: &str) -> Option<Unit> {
        // Letters and digits of ASCII fold to themselves.
        match spelling.bytes().all(|byte| byte.is_ascii_alphanumeric()) {
            true => Unit::folded(spelling),
            false => Unit::folded(&fold(spelling)),
        }
    }

    fn folded(spelling: &str) -> Option<Unit> {
        let table = table();
        let index = table.by_spelling.get(spelling)?;
        table.units.get(*index).map(Unit)
    }

    /// The unit with the longest spelling that a text begins with, and where that ends; `ends` has the places where one may, in order. A text may
    /// be as long as a file: it is read once, and no further than spellings go.
    pub(crate) fn longest(text: &str, ends: impl Iterator<Item = usize>) -> Option<(Unit, usize)> {
        let mut folded = String::new();
        let mut found = None;
        let mut from = 0;
        for end in ends {
            folded.push_str(&fold(text.get(from..end)?));
            from = end;
            if folded.len() > table().longest {
                break;
            }
            found = Unit::folded(&folded).map(|unit| (unit, end)).or(found);
        }
        found
    }

    /// The first unit of the table.
    pub(crate) fn first() -> Unit {
        // The table is embedded and a test finds a unit of every dimension in it.
        let first = table().units.first();
        Unit(first.unwrap_or_else(|| broken("units.csv: no row")))
    }

    /// Every unit, in the order of the table.
    pub fn all() -> impl Iterator<Item = Unit> {
        table().units.iter().map(Unit)
    }

    /// Every unit of one dimension, in the order of the table.
    pub fn of(dimension: Dimension) -> impl Iterator<Item = Unit> {
        Unit::all().filter(move |unit| unit.dimension() == dimension)
    }

    /// The unit most like `spelling`, if one is near: other case, or at most two letters off. Units of `wanted` are preferred.
    ///
    /// Its symbol comes first where it is certain: a long word misspelt, or other case that can't be another prefix. Where it is not
    /// (`mOhm` may be milliohms or megohms), every unit of its dimension is given instead.
    pub fn suggest(spelling: &str, wanted: Option<Dimension>) -> (Option<String>, Vec<&'static str>) {
        let nothing = (None, Vec::new());
        let folded = fold(spelling);
        let lower = folded.to_lowercase();
        // A whole sentence in place of a unit isn't near any, and comparing it with each takes a while.
        if lower.is_empty() || lower.len() > 40 {
            return nothing;
        }
        let mut best: Option<((usize, bool), Unit, &str)> = None;
        let table = table();
        for (key, index) in &table.by_spelling {
            let Some(unit) = table.units.get(*index).map(Unit) else {
                continue;
            };
            let key_lower = key.to_lowercase();
            let distance = if key_lower == lower {
                0
            } else if lower.len() >= 2 && key_lower.strip_prefix("us") == Some(&lower) {
                // A bare gallon, quart, pint or fluid ounce: the author must say whose.
                1
            } else {
                1 + strsim::damerau_levenshtein(&key_lower, &lower)
            };
            let rank = (distance, wanted.is_some_and(|wanted| wanted != unit.dimension()));
            let limit = 1 + lower.chars().count().min(6) / 3;
            if distance <= limit && best.as_ref().is_none_or(|(known, _, _)| rank < *known) {
                best = Some((rank, unit, key));
            }
        }
        let Some(((distance, other), unit, key)) = best else {
            return nothing;
        };
        let bare = unit.symbol().starts_with("US ");
        let prefix = |text: &str| {
            text.chars()
                .next()
                .filter(|c| matches!(c, 'm' | 'M' | 'n' | 'N' | 'k' | 'K' | 'G' | 'g' | 'p' | 'P'))
        };
        let same_size = match distance {
            // `nm` for a torque is hardly nanometres, and `KG` nothing but kilograms.
            0 => {
                prefix(key) == prefix(&folded)
                    || (wanted.is_some() && !other) && !key.to_lowercase().starts_with('m')
                    || prefix(key) == Some('k')
            }
            _ => key.chars().count() >= 5 && key.chars().all(char::is_alphabetic) && key.get(..3) == folded.get(..3),
        };
        if bare || (same_size && !other) {
            return (Some(unit.symbol().to_owned()), Vec::new());
        }
        let dimension = wanted.unwrap_or(unit.dimension());
        (None, Unit::of(dimension).map(Unit::symbol).collect())
    }

    /// The symbol for cards, per the SI brochure: `N·m`, `lbf·ft`, `in`, `°F`, `µm`.
    pub fn symbol(self) -> &'static str {
        &self.0.symbol
    }

    /// What the unit measures.
    pub fn dimension(self) -> Dimension {
        self.0.dimension
    }

    /// True for inch-pound units, false for metric ones: a card doubles a figure of one system by the other.
    pub fn is_inch_pound(self) -> bool {
        self.0.inch_pound
    }

    /// Where its definition comes from.
    pub fn source(self) -> &'static str {
        &self.0.source
    }

    /// Whether zero in this unit isn't zero in SI: degrees Celsius and Fahrenheit.
    pub fn has_offset(self) -> bool {
        !self.0.offset.is_zero()
    }

    /// `figure` of this unit in another unit of the same dimension, to 28 digits and without rounding where it is finite.
    /// `None` where the dimensions differ or the result is out of range.
    pub fn convert(self, figure: Decimal, to: Unit) -> Option<Decimal> {
        if self == to {
            return Some(figure);
        }
        self.scale(figure.checked_add(self.0.offset)?, to)?
            .checked_sub(to.0.offset)
    }

    /// A *difference* of `figure` units in another unit: no offset, so a rise of 10 °C is one of 10 K and of 18 °F.
    pub fn convert_difference(self, figure: Decimal, to: Unit) -> Option<Decimal> {
        let degrees = |unit: Unit| {
            matches!(
                unit.dimension(),
                Dimension::Temperature | Dimension::TemperatureDifference
            )
        };
        match self == to {
            true => Some(figure),
            false if degrees(self) && degrees(to) => self.factored(figure, to),
            false => self.scale(figure, to),
        }
    }

    fn scale(self, figure: Decimal, to: Unit) -> Option<Decimal> {
        (self.dimension() == to.dimension()).then(|| self.factored(figure, to))?
    }

    /// By the factors alone, whatever the dimensions.
    fn factored(self, figure: Decimal, to: Unit) -> Option<Decimal> {
        let mut over = self.0.numerator.checked_mul(to.0.denominator)?;
        let mut under = self.0.denominator.checked_mul(to.0.numerator)?;
        match self.0.turns - to.0.turns {
            0 => {}
            turns if turns > 0 => over = over.checked_mul(Decimal::PI)?,
            _ => under = under.checked_mul(Decimal::PI)?,
        }
        // One division at the end: every step before it is exact for every pair of units without π.
        figure.checked_mul(over)?.checked_div(under)
    }

    /// `figure` of this unit in coherent SI units. Falls back to binary arithmetic for values decimal can't hold.
    pub(crate) fn to_si(self, figure: Decimal) -> f64 {
        let definition = self.0;
        let exact = (definition.turns == 0)
            .then(|| {
                figure
                    .checked_add(definition.offset)?
                    .checked_mul(definition.numerator)?
                    .checked_div(definition.denominator)
            })
            .flatten()
            // Below this the 28 places of a decimal hold fewer digits than a binary float does.
            .filter(|value| value.is_zero() || value.abs() > Decimal::new(1, 12))
            .and_then(|value| value.to_f64());
        let binary = |value: Decimal| value.to_f64().unwrap_or(f64::NAN);
        exact.unwrap_or_else(|| (binary(figure) + binary(definition.offset)) * self.factor())
    }

    /// So many coherent SI units in this unit, as a decimal of at most 17 significant digits; `None` if not finite or out of range.
    pub(crate) fn figure_of_si(self, si: f64) -> Option<Decimal> {
        let offset = self.0.offset.to_f64().unwrap_or(f64::NAN);
        Decimal::from_f64_retain(si / self.factor() - offset)
            .map(|value| super::round_to_digits(value, 15, super::Rounding::Nearest))
    }

    /// The factor to SI as a binary float.
    fn factor(self) -> f64 {
        let binary = |value: Decimal| value.to_f64().unwrap_or(f64::NAN);
        binary(self.0.numerator) / binary(self.0.denominator) * std::f64::consts::PI.powi(self.0.turns)
    }
}

impl PartialEq for Unit {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.0, other.0)
    }
}

impl Eq for Unit {}

impl fmt::Debug for Unit {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Unit({})", self.symbol())
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.symbol())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_has_a_source_and_its_own_spellings() {
        table::assert_sourced("units.csv", UNITS);
        let mut seen = BTreeMap::new();
        for unit in Unit::all() {
            let mut own: Vec<String> = std::iter::once(&unit.0.symbol)
                .chain(&unit.0.spellings)
                .map(|s| fold(s))
                .collect();
            own.sort();
            own.dedup();
            for key in own {
                if let Some(other) = seen.insert(key.clone(), unit.symbol()) {
                    panic!("{key} means both {other} and {unit}");
                }
            }
            assert_eq!(Unit::find(unit.symbol()), Some(unit));
        }
        for dimension in Dimension::ALL {
            assert!(Unit::of(dimension).next().is_some(), "{dimension}");
            assert_eq!(
                Unit::find(dimension.example_unit()).map(Unit::dimension),
                Some(dimension)
            );
        }
    }

    #[test]
    fn suggestions_are_near() {
        let one = |spelling: &str, wanted| Unit::suggest(spelling, wanted).0;
        assert_eq!(one("nm", Some(Dimension::Torque)).as_deref(), Some("N·m"));
        assert_eq!(one("milimetres", None).as_deref(), Some("mm"));
        assert_eq!(one("KG", None).as_deref(), Some("kg"));
        assert_eq!(one("BAR", None).as_deref(), Some("bar"));
        assert_eq!(one("gal", None).as_deref(), Some("US gal"));
        assert_eq!(Unit::suggest("furlong", None), (None, Vec::new()));
        for (spelling, has) in [
            ("mOhm", ["Ω", "MΩ"]),
            ("N/cm2", ["Pa", "MPa"]),
            ("cmkg", ["kgf·m", "kgf·cm"]),
            ("mpa", ["Pa", "MPa"]),
        ] {
            let (one, all) = Unit::suggest(spelling, None);
            assert_eq!(one, None, "{spelling}");
            assert!(has.iter().all(|unit| all.contains(unit)), "{spelling}: {all:?}");
        }
    }
}
