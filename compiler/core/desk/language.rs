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
use crate::syntax::MarkKind;
use crate::syntax::registers::Register;
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
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
    /// True if the name may stand alone all the same.
    pub bare: bool,
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
        .filter(|field| !matches!(field.takes, Takes::Map(_)) && field.name != "title")
    {
        if let Some(names) = written(&field.takes, &mut || put(Spot::Field(None, field.name))) {
            head += &format!("{}: {names}\n", field.name);
        }
    }
    for (register, shape) in registers(procedure) {
        let mut entry = String::new();
        for field in &shape.fields {
            let names = written(&field.takes, &mut || put(Spot::Field(Some(register), field.name)));
            if let Some(names) = names {
                entry += &format!("    {}: {names}\n", field.name);
            }
        }
        head += &format!(
            "{register}:\n  made-up-{register}:\n{}",
            if entry.is_empty() { "    {}\n" } else { &entry }
        );
    }
    let mut body = String::new();
    for verb in syntax::Verb::words() {
        for behind in FORMS {
            if reads(&format!("{verb} a{behind}")) {
                body += &format!("1. Do it. [{verb} {}{behind}]\n", put(Spot::Verb(verb)));
            }
        }
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
            Some(Spot::Verb(verb)) => add(of_verbs.entry(*verb), names),
            Some(Spot::Field(register, field)) => add(fields.entry((*register, field.to_string())), names),
            None => {}
        }
    }
    let verbs = syntax::Verb::words().map(|verb| (verb, of_verb(verb, of_verbs.remove(verb))));
    Language {
        verbs: verbs.collect(),
        fields,
    }
}

/// What may stand behind the name that a verb takes.
const FORMS: [&str; 3] = ["", "=made-up", " out"];

/// Adds what names a place holds: with something else behind them it may be others.
fn add<K: Ord>(place: Entry<K, Names>, names: Names) {
    match (place, names) {
        (Entry::Vacant(place), names) => drop(place.insert(names)),
        (Entry::Occupied(mut place), Names::Entries(more)) => {
            if let Names::Entries(registers) = place.get_mut() {
                let fresh: Vec<Register> = more
                    .into_iter()
                    .filter(|register| !registers.contains(register))
                    .collect();
                registers.extend(fresh);
            }
        }
        (Entry::Occupied(_), Names::Procedures | Names::Labels) => {}
    }
}

/// A made-up value with a name in every place of a field that may hold one; `None` if none may.
fn written(takes: &Takes, name: &mut dyn FnMut() -> String) -> Option<String> {
    match takes {
        Takes::Text => Some(name()),
        // What the names of a list are may show only with a value behind them.
        Takes::Many(one) if **one == Takes::Text => Some(format!("[{}, {}=made-up]", name(), name())),
        Takes::Map(_) => Some(format!("{{{}: made-up}}", name())),
        Takes::Either(ways) => ways.iter().find_map(|way| written(way, name)),
        _ => None,
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

/// A mark with this inside, if it can be read.
fn read(inner: &str) -> Option<MarkKind> {
    let file = FileSet::from_texts([("a.md", "")]).ids().next()?;
    mark::read(Span::new(file, 0, inner.len() + 2), inner).ok()
}

fn reads(inner: &str) -> bool {
    read(inner).is_some()
}

/// True if what stands behind a `=` is a value, and no part of the name.
fn has_value(verb: &str) -> bool {
    match read(&format!("{verb} a=b")) {
        Some(MarkKind::Need(need)) => !need.values.is_empty(),
        Some(MarkKind::Set(..) | MarkKind::Only(_)) => true,
        _ => false,
    }
}

fn of_verb(verb: &'static str, names: Option<Names>) -> Verb {
    let valued = has_value(verb);
    let argument = if names.is_some() { "a " } else { "" };
    let measures = |dimension: &Dimension| reads(&format!("{verb} {argument}1 {}", dimension.example_unit()));
    Verb {
        valued,
        bare: reads(&format!("{verb} a")),
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
        assert!(verb("need").valued && verb("need").bare && verb("need").several && verb("only").several);
        assert!(verb("set").valued && !verb("set").bare && !verb("set").several);
        let Some(Names::Entries(asked)) = &verb("if").names else {
            panic!("[if] names entries");
        };
        assert_eq!(*asked, [Register::Cases, Register::Limits]);
        assert_eq!(verb("time").dimensions, [Dimension::Time]);
        assert!(verb("use").dimensions.contains(&Dimension::Volume));
        let names = |register, field| language.names_in(register, field).cloned();
        assert_eq!(names(None, "after"), Some(Names::Procedures));
        let entries = |register| Some(Names::Entries(vec![register]));
        assert_eq!(names(Some(Register::Torques), "tool"), entries(Register::Tools));
        assert_eq!(names(Some(Register::Limits), "gauge"), entries(Register::Tools));
        assert_eq!(names(Some(Register::Actions), "sets"), entries(Register::States));
        let needed = [
            Register::Parts,
            Register::Temporary,
            Register::Torques,
            Register::Joints,
            Register::Actions,
            Register::Limits,
            Register::States,
        ];
        assert_eq!(
            names(Some(Register::Actions), "needs"),
            Some(Names::Entries(needed.to_vec()))
        );
        assert_eq!(names(Some(Register::Torques), "only"), entries(Register::Options));
        assert_eq!(names(Some(Register::Temporary), "keeps"), entries(Register::States));
        assert_eq!(
            names(Some(Register::Actions), "never-with"),
            Some(Names::Entries(vec![
                Register::Parts,
                Register::Temporary,
                Register::Torques
            ]))
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
