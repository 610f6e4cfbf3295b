//! Property classes and grades: how strong a bolt or screw is.

use std::fmt;
use std::sync::OnceLock;

use serde::Deserialize;
use uom::si::f64::{Length, Pressure};

use super::ThreadSystem;
use crate::quantity::{Kind, Measure};
use crate::table::{self, broken};

const CLASSES: &str = include_str!("../../tables/property-classes.csv");

#[derive(Deserialize)]
struct Row {
    standard: String,
    class: String,
    above: String,
    up_to: String,
    size_unit: String,
    proof: String,
    #[serde(rename = "yield")]
    yield_strength: String,
    tensile: String,
    stress_unit: String,
    long: String,
    source: String,
}

/// A row, its figures read.
struct Entry {
    standard: String,
    class: String,
    above: Length,
    up_to: Length,
    long: bool,
    strength: Strength,
}

/// Strengths of a class at a size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strength {
    /// Stress under proof load, Sp: borne without a permanent set. The 0.2 % proof strength where the standard sets no proof load
    /// (stainless steel, ISO 8839, ASTM A193).
    pub proof: Pressure,
    /// Yield strength, or the stress at 0.2 % or the class's own non-proportional elongation.
    pub yield_strength: Pressure,
    /// Least tensile strength, Rm.
    pub tensile: Pressure,
    /// Where the three come from.
    pub source: &'static str,
}

fn table() -> &'static [Entry] {
    static ENTRIES: OnceLock<Vec<Entry>> = OnceLock::new();
    ENTRIES.get_or_init(|| {
        table::rows::<Row>("property-classes.csv", CLASSES)
            .into_iter()
            .map(entry)
            .collect()
    })
}

fn entry(row: Row) -> Entry {
    fn read<Q: Kind>(figure: &str, unit: &str) -> Q {
        Measure::parse(&format!("{figure} {unit}"))
            .ok()
            .and_then(|measure| measure.quantity())
            .unwrap_or_else(|| broken(format_args!("property-classes.csv: {figure} {unit}")))
    }
    Entry {
        above: read(&row.above, &row.size_unit),
        up_to: read(&row.up_to, &row.size_unit),
        long: row.long == "yes",
        strength: Strength {
            proof: read(&row.proof, &row.stress_unit),
            yield_strength: read(&row.yield_strength, &row.stress_unit),
            tensile: read(&row.tensile, &row.stress_unit),
            // Read once for the life of the program, some thirty rows.
            source: row.source.leak(),
        },
        standard: row.standard,
        class: row.class,
    }
}

/// A property class or grade: `8.8`, `grade 5`, `A2-70`. Cheap to copy.
#[derive(Clone, Copy)]
pub struct PropertyClass(&'static Entry);

impl PropertyClass {
    /// The class of that name. `class`, `property class`, `gr.` and `SAE` before it don't matter.
    pub fn find(name: &str) -> Option<PropertyClass> {
        let folded = match fold(name) {
            // What cold-formed brass screws are made of (ISO 8839).
            brass if brass == "brass" => "cu2".to_owned(),
            folded => folded,
        };
        table()
            .iter()
            .find(|entry| fold(&entry.class) == folded)
            .map(PropertyClass)
    }

    /// Every class, once, in table order.
    pub fn all() -> impl Iterator<Item = PropertyClass> {
        let mut last = "";
        table()
            .iter()
            .map(PropertyClass)
            .filter(move |class| std::mem::replace(&mut last, class.name()) != class.name())
    }

    /// The class of the thread's system most like `name`.
    pub(super) fn suggest(name: &str, system: ThreadSystem) -> Option<String> {
        let folded = fold(name);
        let folded = folded.trim_start_matches("grade");
        if folded.is_empty() || folded.len() > 12 {
            return None;
        }
        PropertyClass::all()
            .filter(|class| class.suits(system))
            .map(|class| {
                let own = fold(class.name());
                let own = own.trim_start_matches("grade");
                let head = usize::from(!own.starts_with(folded) && !folded.starts_with(own));
                ((head, strsim::damerau_levenshtein(own, folded)), class)
            })
            .filter(|((head, distance), _)| *distance <= if *head == 0 { 2 } else { 1 })
            .min_by_key(|(rank, _)| *rank)
            .map(|(_, class)| class.name().to_owned())
    }

    /// `8.8`, `grade 5`, `A2-70`.
    pub fn name(self) -> &'static str {
        &self.0.class
    }

    /// The standard that sets it.
    pub fn standard(self) -> &'static str {
        &self.0.standard
    }

    /// Whether it is a class of inch fasteners.
    pub fn is_inch(self) -> bool {
        self.standard().starts_with("SAE") || self.standard().starts_with("ASTM")
    }

    /// Whether a thread of that system is made in it.
    pub fn suits(self, system: ThreadSystem) -> bool {
        match system {
            ThreadSystem::Unified | ThreadSystem::Whitworth if self.is_stainless() => true,
            // Studs to ASTM A193 come in metric sizes too.
            ThreadSystem::Metric => !self.is_inch() || matches!(self.standard(), "ASTM A193" | "ASTM A320"),
            ThreadSystem::Unified => self.is_inch(),
            ThreadSystem::Whitworth | ThreadSystem::Pipe | ThreadSystem::Npt | ThreadSystem::Trapezoidal => false,
        }
    }

    /// The share of the thread's load that the whole fastener holds: 0.8 where a nought before the class says that its head is weaker
    /// (ISO 14581, ISO 10642), else one.
    pub fn load_share(self) -> f64 {
        if self.standard() == "ISO 898-1" && self.name().starts_with('0') {
            0.8
        } else {
            1.0
        }
    }

    /// Whether its standard sets a stress under proof load; where it doesn't, the 0.2 % strength stands in.
    pub fn sets_proof(self) -> bool {
        !self.is_stainless() && !matches!(self.standard(), "ISO 8839" | "ASTM A193" | "ASTM A320" | "ASTM F468")
    }

    /// Each range of sizes with its strengths: above, up to and including, whether for bolts over 6 in alone, strengths.
    pub fn ranges(self) -> impl Iterator<Item = (Length, Length, bool, Strength)> {
        table()
            .iter()
            .filter(move |entry| entry.class == self.0.class)
            .map(|entry| (entry.above, entry.up_to, entry.long, entry.strength))
    }

    /// Whether it is stainless steel.
    pub fn is_stainless(self) -> bool {
        self.standard().starts_with("ISO 3506")
    }

    /// Strengths at a nominal diameter; `None` where the standard's sizes end. A diameter on a boundary belongs to the smaller range
    /// (M16 in 8.8 is of the range to 16 mm).
    pub fn strength(self, diameter: Length) -> Option<Strength> {
        self.at(diameter, false)
    }

    /// Strengths of a bolt longer than 6 in, which SAE J429 rates lower in grade 2; the same as [`strength`](Self::strength) elsewhere.
    pub fn strength_over_six_inches(self, diameter: Length) -> Option<Strength> {
        self.at(diameter, true).or_else(|| self.at(diameter, false))
    }

    fn at(self, diameter: Length, long: bool) -> Option<Strength> {
        // A nanometre either way: diameters come through binary floats.
        let slack = Length::from_si(1e-9);
        table()
            .iter()
            .filter(|entry| entry.class == self.0.class && entry.long == long)
            .find(|entry| diameter > entry.above + slack && diameter <= entry.up_to + slack)
            .map(|entry| entry.strength)
    }
}

/// The name without case, spaces and the words that say nothing; `grade` is kept, since `8` alone could be either system's, and SAE has
/// nothing but grades.
fn fold(name: &str) -> String {
    let lower = name.to_lowercase();
    let mut words = Vec::new();
    let mut sae = false;
    for word in lower.split(|letter: char| letter.is_whitespace() || letter == '_') {
        match word.trim_end_matches('.') {
            "" | "class" | "cl" | "property" | "iso" | "898-1" | "astm" | "a193" | "a320" => {}
            "sae" | "j429" => sae = true,
            "gr" | "grade" => words.push("grade"),
            word => words.push(word),
        }
    }
    let bare = words.concat();
    let joined = match sae && !bare.is_empty() && !bare.starts_with("grade") {
        true => format!("grade{bare}"),
        false => bare,
    };
    // `grade 8.8` is how some say class 8.8.
    match joined.strip_prefix("grade") {
        Some(rest) if rest.contains('-') || (rest.contains('.') && is_metric_class(rest)) => rest.to_owned(),
        // ASTM A193 writes grade B7.
        Some(rest) if rest.starts_with('b') => rest.to_owned(),
        _ => joined,
    }
}

/// `8.8` but not `8.2`, which is a grade.
fn is_metric_class(name: &str) -> bool {
    table()
        .iter()
        .any(|entry| entry.standard.starts_with("ISO") && entry.class == name)
}

impl PartialEq for PropertyClass {
    fn eq(&self, other: &Self) -> bool {
        self.name() == other.name()
    }
}

impl Eq for PropertyClass {}

impl fmt::Debug for PropertyClass {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "PropertyClass({})", self.name())
    }
}

impl fmt::Display for PropertyClass {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_sourced_and_in_order_of_stress() {
        table::assert_sourced("property-classes.csv", CLASSES);
        for entry in table() {
            let Strength {
                proof,
                yield_strength,
                tensile,
                ..
            } = entry.strength;
            assert!(proof <= yield_strength && yield_strength < tensile, "{}", entry.class);
            assert!(entry.above < entry.up_to);
        }
    }

    #[test]
    fn names_in_many_spellings() {
        for (text, name) in [
            ("class 8.8", "8.8"),
            ("Grade 8", "grade 8"),
            ("gr. 5", "grade 5"),
            ("SAE J429 grade 2", "grade 2"),
            ("SAE 5", "grade 5"),
            ("SAE J429 8.2", "grade 8.2"),
            ("a2-70", "A2-70"),
            ("grade 10.9", "10.9"),
            ("grade 8.2", "grade 8.2"),
            ("ASTM A193 B7", "B7"),
            ("brass", "CU2"),
            ("08.8", "08.8"),
        ] {
            assert_eq!(PropertyClass::find(text).map(PropertyClass::name), Some(name), "{text}");
        }
        assert_eq!(PropertyClass::find("8"), None);
    }
}
