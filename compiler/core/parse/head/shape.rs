//! What a map of a head may hold, as data, and what its reader is asked to write down of it.

use crate::domain::quantity::{Dimension, ValueError};
use crate::syntax::registers::Register;
use std::sync::OnceLock;

/// What one map may hold.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shape {
    /// What the map describes, with its article: `a torque`.
    pub what: &'static str,
    pub fields: Vec<Field>,
    /// Fields of which one must be there, for each requirement.
    pub required: Vec<Vec<String>>,
    /// For a requirement, other fields that meet it together: `pitch-x` and `pitch-y` in place of `pitch`.
    pub instead: Vec<(String, Vec<String>)>,
    /// Fields of which only one may be there.
    pub exclusive: Vec<Vec<String>>,
    /// Where one value may stand in place of the map: the field that it is of.
    pub bare: Option<String>,
}

impl Shape {
    /// A field by its name.
    pub fn field(&self, name: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.name == name)
    }
}

/// A field of a map.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    pub name: &'static str,
    pub takes: Takes,
}

/// What a field takes.
#[derive(Debug, Clone, PartialEq)]
pub enum Takes {
    /// Any text of one value.
    Text,
    Date,
    /// One of these words.
    Word(Vec<String>),
    /// A tag of a language (BCP 47) that begins with one of these, in letters of either case.
    Tag(Vec<String>),
    /// A word that stands among the `values` of the same entry.
    OwnValue,
    /// A whole number from 1.
    Count,
    Value(Reads),
    /// One of a kind, or a list of them.
    Many(Box<Takes>),
    /// A map of the author's words to such.
    Map(Box<Takes>),
    /// One of several kinds.
    Either(Vec<Takes>),
    /// A map of the author's ids to maps of this shape.
    Entries(Box<Shape>),
    /// Entries by id, each of this shape.
    Register(Register, Box<Shape>),
    /// Read by hand.
    Node,
    /// What is read by hand, as far as it shows.
    Forms(Box<Forms>),
}

/// What a value that is read by hand may be: one value, a list, a map.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Forms {
    pub scalar: Option<Takes>,
    pub list: Option<Items>,
    pub map: Option<Inside>,
}

/// What the items of a list may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Items {
    Scalars,
    /// Whole numbers from 1.
    Counts,
    /// Lists of two values.
    Pairs,
}

/// What a map that is read by hand holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Inside {
    /// Fields of its own.
    Shape(Shape),
    /// Words of the author's, each with one value or none.
    Words,
}

/// What a reader of values takes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reads {
    /// A number without a unit will do.
    pub bare: bool,
    /// What it may measure.
    pub dimensions: Vec<Dimension>,
    /// Words of the domain that it takes.
    pub words: Vec<String>,
    /// True if it takes a thread, alone or with a class.
    pub fastener: bool,
    /// A text that it reads.
    pub example: String,
    /// True if what is printed of it is the author's words, not the value.
    pub as_written: bool,
}

impl Takes {
    /// One of the words of a list.
    pub fn word<T>(words: &[(&str, T)]) -> Takes {
        Takes::Word(words.iter().map(|(word, _)| word.to_string()).collect())
    }

    /// A kind, or a list of it.
    pub fn many(one: Takes) -> Takes {
        Takes::Many(Box::new(one))
    }

    /// A map of words to such.
    pub fn map(one: Takes) -> Takes {
        Takes::Map(Box::new(one))
    }

    /// What a reader of the domain takes: it is tried out.
    pub fn value<T>(read: &impl Fn(&str) -> Result<T, ValueError>, as_written: bool) -> Takes {
        let reads = |text: &str| read(text).is_ok();
        let mut found = Reads {
            bare: reads("1"),
            as_written,
            ..Reads::default()
        };
        let mut example = found.bare.then(|| "1".to_string());
        for dimension in Dimension::ALL {
            let unit = dimension.example_unit();
            let forms = ["1 UNIT", "max 1 UNIT", "1..2 UNIT", "± 1 UNIT"].map(|form| form.replace("UNIT", unit));
            let Some(form) = forms.into_iter().find(|form| reads(form)) else {
                continue;
            };
            found.dimensions.push(dimension);
            example.get_or_insert(form);
        }
        found.words = table_words().iter().filter(|word| reads(word)).cloned().collect();
        found.fastener = reads(THREAD);
        let words = found.words.first().cloned();
        found.example = example
            .or_else(|| found.fastener.then(|| THREAD.to_string()))
            .or(words)
            .unwrap_or_default();
        Takes::Value(found)
    }
}

/// A thread that a reader of fasteners takes.
const THREAD: &str = "M8";

/// Every word of the domain that a value may be in place of a figure or a name of its own: those of its tables, and those of tightening.
fn table_words() -> &'static [String] {
    use crate::domain::fastener::TappedMaterial;
    use crate::domain::hazard::GhsPictogram;
    use crate::domain::lubrication::Condition;
    use crate::domain::tightening::{HAND, MEASURED};
    static WORDS: OnceLock<Vec<String>> = OnceLock::new();
    WORDS.get_or_init(|| {
        let conditions = Condition::all().map(|condition| condition.name().to_string());
        let materials = TappedMaterial::all().map(|material| material.name().to_string());
        let pictograms = GhsPictogram::all().map(|pictogram| pictogram.code().to_string());
        let tightening = [HAND, MEASURED].map(str::to_string);
        conditions
            .chain(materials)
            .chain(pictograms)
            .chain(tightening)
            .collect()
    })
}

/// Where what a reader asks for is written down.
pub struct Asked<'a> {
    shapes: &'a mut Vec<Shape>,
    fields: Vec<Field>,
    /// True if what a field takes is wanted, not just that it is asked for: trying out what a value may be takes a while.
    detailed: bool,
}

impl<'a> Asked<'a> {
    pub fn new(shapes: &'a mut Vec<Shape>, detailed: bool) -> Asked<'a> {
        Asked {
            shapes,
            fields: Vec::new(),
            detailed,
        }
    }

    /// For a map inside.
    pub fn inner(&mut self) -> Asked<'_> {
        Asked::new(self.shapes, self.detailed)
    }

    /// A field is asked for. What says more of it counts.
    pub fn field(&mut self, name: &'static str, takes: impl FnOnce() -> Takes) {
        let takes = if self.detailed { takes() } else { Takes::Node };
        match self.fields.iter_mut().find(|field| field.name == name) {
            Some(_) if takes == Takes::Node => {}
            Some(field) => field.takes = takes,
            None => self.fields.push(Field { name, takes }),
        }
    }

    /// Everything has been asked for; these requirements are not met.
    pub fn finish(self, what: &'static str, required: Vec<Vec<String>>) {
        self.shapes.push(Shape {
            what,
            fields: self.fields,
            required,
            ..Shape::default()
        });
    }
}
