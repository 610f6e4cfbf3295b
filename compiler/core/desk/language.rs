//! What may stand where, learned from the compiler itself: a made-up set with every verb and every field is compiled, and what the names
//! in it were looked up as is read off. A new mark, register or field is completed without a line here.

use crate::compile;
use crate::domain::quantity::Dimension;
use crate::model::lookup::Sought;
use crate::parse::head::probe::{self, Head};
use crate::parse::head::shape::{Field, Inside, Shape, Takes};
use crate::parse::mark;
use crate::source::{FileSet, Span};
use crate::syntax;
use crate::syntax::registers::Register;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// What names a place holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Names {
    /// Ids of entries of these registers.
    Entries(Vec<Register>),
    Procedures,
    /// Labels of steps, here or behind a procedure's id and a `/`.
    Labels,
}

/// What a verb takes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Verb {
    /// What it names; `None` for a word of the author's or for a value.
    pub names: Option<Names>,
    /// True if one of the values of what it names follows, behind a `=`.
    pub valued: bool,
    /// True if several values may follow, parted by `|`.
    pub several: bool,
    /// What a figure in it measures.
    pub dimensions: Vec<Dimension>,
}

/// What may stand where.
#[derive(Debug)]
pub struct Language {
    verbs: BTreeMap<&'static str, Verb>,
    /// By the field of an entry, or of the head itself.
    fields: BTreeMap<(Option<Register>, String), Names>,
}

/// The language as the compiler has it.
pub fn language() -> &'static Language {
    static LANGUAGE: OnceLock<Language> = OnceLock::new();
    LANGUAGE.get_or_init(learn)
}

impl Language {
    /// What a verb takes; `None` if there is no such verb.
    pub fn verb(&self, verb: &str) -> Option<&Verb> {
        self.verbs.get(verb)
    }

    /// What a field of an entry (or of the head) names, if it names anything.
    pub fn names_in(&self, register: Option<Register>, field: &str) -> Option<&Names> {
        self.fields.get(&(register, field.to_string()))
    }
}

/// A name that no author gives.
fn made_up(n: usize) -> String {
    format!("zq{n}zq")
}

/// Where a made-up name was put.
#[derive(Debug, Clone)]
enum Spot {
    Verb(&'static str),
    Field(Option<Register>, &'static str),
}

fn learn() -> Language {
    let mut spots: Vec<Spot> = Vec::new();
    let mut put = |spot: Spot| {
        spots.push(spot);
        made_up(spots.len() - 1)
    };
    let procedure = probe::of(Head::Procedure);
    let mut head = String::from("title: Made up\n");
    for field in procedure
        .fields
        .iter()
        .filter(|field| named(&field.takes) && field.name != "title")
    {
        let name = put(Spot::Field(None, field.name));
        head += &format!("{}: {name}\n", field.name);
    }
    for (register, shape) in registers(procedure) {
        let mut entry = String::new();
        for field in &shape.fields {
            let name = match &field.takes {
                takes if named(takes) => put(Spot::Field(Some(register), field.name)),
                Takes::Pairs => format!("{{{}: made-up}}", put(Spot::Field(Some(register), field.name))),
                _ => continue,
            };
            entry += &format!("    {}: {name}\n", field.name);
        }
        head += &format!(
            "{register}:\n  made-up-{register}:\n{}",
            if entry.is_empty() { "    {}\n" } else { &entry }
        );
    }
    let mut body = String::new();
    for verb in syntax::Verb::words() {
        let name = put(Spot::Verb(verb));
        let mark = if reads(&format!("{verb} a=b")) && !reads(&format!("{verb} a")) {
            format!("[{verb} {name}=made-up]")
        } else {
            format!("[{verb} {name}]")
        };
        body += &format!("1. Do it. {mark}\n");
    }
    let text = format!("---\n{head}---\n\n## Work\n\n{body}");
    let files = FileSet::from_texts([
        ("set.yaml", "machine: Made up\ntitle: Made up\n"),
        ("10-made-up.md", &text),
    ]);
    let compilation = compile(&files);
    let mut fields = BTreeMap::new();
    let mut of_verbs = BTreeMap::new();
    for lookup in compilation.model.sets.iter().flat_map(|set| &set.lookups) {
        let names = match &lookup.sought {
            Sought::Entry { registers, .. } => Names::Entries(registers.clone()),
            Sought::Procedure(_) => Names::Procedures,
            Sought::Label { .. } => Names::Labels,
            Sought::Value { .. } => continue,
        };
        let spot = spots
            .iter()
            .enumerate()
            .find(|(n, _)| files.text(lookup.span) == made_up(*n));
        match spot.map(|(_, spot)| spot) {
            Some(Spot::Verb(verb)) => drop(of_verbs.insert(*verb, names)),
            Some(Spot::Field(register, field)) => drop(fields.insert((*register, field.to_string()), names)),
            None => {}
        }
    }
    let verbs = syntax::Verb::words().map(|verb| (verb, of_verb(verb, of_verbs.remove(verb))));
    Language {
        verbs: verbs.collect(),
        fields,
    }
}

/// True of a field that may hold a name.
fn named(takes: &Takes) -> bool {
    match takes {
        Takes::Text => true,
        Takes::Many(one) => **one == Takes::Text,
        _ => false,
    }
}

/// The registers of a head, each with the shape of its entries.
pub fn registers(shape: &Shape) -> impl Iterator<Item = (Register, &Shape)> {
    shape.fields.iter().filter_map(|field| match &field.takes {
        Takes::Register(register, shape) => Some((*register, shape.as_ref())),
        _ => None,
    })
}

/// The shape of a field that is a map with fields of its own.
pub fn inside(field: &Field) -> Option<&Shape> {
    match &field.takes {
        Takes::Forms(forms) => match &forms.map {
            Some(Inside::Shape(shape)) => Some(shape),
            Some(Inside::Words) | None => None,
        },
        _ => None,
    }
}

/// True if a mark with this inside can be read.
fn reads(inner: &str) -> bool {
    let file = FileSet::from_texts([("a.md", "")]).ids().next();
    file.is_some_and(|file| mark::read(Span::new(file, 0, inner.len() + 2), inner).is_ok())
}

fn of_verb(verb: &'static str, names: Option<Names>) -> Verb {
    let valued = reads(&format!("{verb} a=b")) && !reads(&format!("{verb} a"));
    let argument = if names.is_some() { "a " } else { "" };
    let measures = |dimension: &Dimension| reads(&format!("{verb} {argument}1 {}", dimension.example_unit()));
    Verb {
        valued,
        several: valued && reads(&format!("{verb} a=b|c")),
        dimensions: Dimension::ALL.into_iter().filter(measures).collect(),
        names,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::syntax::registers::REGISTERS;

    #[test]
    fn verbs_and_fields_are_learned() {
        let language = language();
        let verb = |verb: &str| language.verb(verb).unwrap();
        assert_eq!(verb("torque").names, Some(Names::Entries(vec![Register::Torques])));
        assert_eq!(
            verb("fit").names,
            Some(Names::Entries(vec![Register::Parts, Register::Temporary]))
        );
        assert_eq!(verb("see").names, Some(Names::Procedures));
        assert_eq!(verb("step").names, Some(Names::Labels));
        assert_eq!(verb("label").names, None);
        assert!(verb("need").valued && !verb("need").several && verb("only").several);
        assert_eq!(verb("time").dimensions, [Dimension::Time]);
        assert!(verb("use").dimensions.contains(&Dimension::Volume));
        let names = |register, field| language.names_in(register, field).cloned();
        assert_eq!(names(None, "after"), Some(Names::Procedures));
        let entries = |register| Some(Names::Entries(vec![register]));
        assert_eq!(names(Some(Register::Torques), "tool"), entries(Register::Tools));
        assert_eq!(names(Some(Register::Limits), "gauge"), entries(Register::Tools));
        assert_eq!(names(Some(Register::Actions), "needs"), entries(Register::States));
        assert_eq!(
            names(Some(Register::Actions), "never-with"),
            entries(Register::Temporary)
        );
        assert_eq!(names(Some(Register::Parts), "note"), None);
    }

    #[test]
    fn every_register_has_a_shape() {
        let shape = probe::of(Head::Procedure);
        let known: Vec<Register> = registers(shape).map(|(register, _)| register).collect();
        assert_eq!(known, REGISTERS);
        for (register, shape) in registers(shape) {
            assert!(!shape.fields.is_empty(), "{register}");
        }
        let torques = registers(shape).find(|(register, _)| *register == Register::Torques);
        let torque = torques.unwrap().1;
        assert_eq!(torque.required, [["torque", "stages"]]);
        assert_eq!(torque.exclusive, [["torque", "stages"]]);
        assert_eq!(torque.bare.as_deref(), Some("torque"));
        assert_eq!(inside(torque.field("adapter").unwrap()).unwrap().required, [["length"]]);
    }
}
