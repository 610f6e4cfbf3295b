//! What a head may hold, learned from its readers: they are run over maps made for the purpose, and what they ask for is written down.
//! Nothing of the language is listed here, so that a new field of a register comes by itself.

use super::fields::Fields;
use super::shape::{Asked, Forms, Inside, Items, Shape, Takes};
use super::{procedure_fields, set_fields, workshop_fields};
use crate::finding::Finding;
use crate::parse::rules::{bad_word, wrong_kind};
use crate::parse::yaml::{Key, Node, Value};
use crate::source::{FileSet, Span};
use crate::syntax::registers::REGISTERS;
use std::sync::OnceLock;

/// Which file a head is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Head {
    Procedure,
    Set,
    Workshop,
}

/// The shape of a head.
pub fn of(head: Head) -> &'static Shape {
    static SHAPES: OnceLock<[Shape; 3]> = OnceLock::new();
    let shapes = SHAPES.get_or_init(|| {
        let heads = [Head::Procedure, Head::Set, Head::Workshop];
        heads.map(|head| Probe::new(head).map(|probe| probe.at(&[])).unwrap_or_default())
    });
    let [procedure, set, workshop] = shapes;
    match head {
        Head::Procedure => procedure,
        Head::Set => set,
        Head::Workshop => workshop,
    }
}

/// Runs the readers of a head over made-up maps.
struct Probe {
    head: Head,
    nowhere: Span,
    /// Where what is tried out stands.
    here: Span,
}

/// What a reader made of a map.
struct Tried {
    /// Of every map that has fields of its own, the innermost first.
    shapes: Vec<Shape>,
    findings: Vec<Finding>,
}

impl Probe {
    fn new(head: Head) -> Option<Probe> {
        let file = FileSet::from_texts([("set.yaml", "")]).ids().next()?;
        Some(Probe {
            head,
            nowhere: Span::new(file, 0, 0),
            here: Span::new(file, 1, 2),
        })
    }

    fn scalar(&self, text: &str) -> Node {
        self.node(Value::Scalar(text.to_string()))
    }

    fn node(&self, value: Value) -> Node {
        let span = self.here;
        Node { span, value }
    }

    fn map(&self, entries: Vec<(String, Node)>) -> Node {
        let span = self.nowhere;
        let entries = entries.into_iter().map(|(text, node)| (Key { span, text }, node));
        Node {
            span,
            value: Value::Map(entries.collect()),
        }
    }

    /// Runs the reader over a head in which this stands at the end of a path of keys.
    fn read(&self, path: &[&str], leaf: Node, detailed: bool) -> Tried {
        let whole = path
            .iter()
            .rev()
            .fold(leaf, |inner, key| self.map(vec![(key.to_string(), inner)]));
        let (mut shapes, mut findings) = (Vec::new(), Vec::new());
        let (what, span) = ("a file", self.nowhere);
        let asked = Asked::new(&mut shapes, detailed);
        let fields = Fields::described(&whole, what, span, &mut findings, asked);
        match self.head {
            Head::Procedure => drop(procedure_fields(fields)),
            Head::Set => drop(set_fields(fields)),
            Head::Workshop => drop(workshop_fields(fields)),
        }
        Tried { shapes, findings }
    }

    /// The same over a map that holds these fields.
    fn holding(&self, path: &[&str], fields: Vec<(String, Node)>) -> Tried {
        self.read(path, self.map(fields), false)
    }

    /// The shape of the map at the end of a path.
    fn at(&self, path: &[&str]) -> Shape {
        let mut shape = self
            .read(path, self.map(Vec::new()), true)
            .shapes
            .into_iter()
            .next()
            .unwrap_or_default();
        let asked = shape.clone();
        for field in &mut shape.fields {
            field.takes = self.takes(path, &asked, field.name, field.takes.clone());
        }
        // Some fields are read only where those are there that must be.
        let asked = shape.clone();
        for field in &mut shape.fields {
            if matches!(field.takes, Takes::Forms(_)) {
                field.takes = self.takes(path, &asked, field.name, Takes::Node);
            }
        }
        self.own_values(path, &mut shape);
        self.alternatives(path, &mut shape);
        shape.bare = self.bare(path, &shape);
        shape
    }

    /// What a field takes; what is read by hand is tried out. `around` is the map that it stands in.
    fn takes(&self, path: &[&str], around: &Shape, name: &'static str, takes: Takes) -> Takes {
        let register = REGISTERS
            .into_iter()
            .find(|register| path.is_empty() && name == register.field());
        match (register, takes) {
            (Some(register), _) => Takes::Register(register, Box::new(self.at(&[name, "e"]))),
            (None, Takes::Entries(_)) => {
                let inside: Vec<&str> = path.iter().copied().chain([name, "e"]).collect();
                Takes::Entries(Box::new(self.at(&inside)))
            }
            (None, Takes::Node) => Takes::Forms(Box::new(self.forms(path, around, name))),
            (None, takes) => takes,
        }
    }

    fn forms(&self, path: &[&str], around: &Shape, name: &'static str) -> Forms {
        let refused = |tried: &Tried| {
            let here = |f: &Finding| f.rule == &wrong_kind::RULE && f.primary.span == self.here;
            tried.findings.iter().any(here)
        };
        let needed = around
            .required
            .iter()
            .filter(|group| !group.iter().any(|other| other == name));
        let beside = self.examples(around, needed.filter_map(|group| group.first()));
        let around_it = |leaf: Node| {
            let own = (name.to_string(), leaf);
            self.map(beside.iter().cloned().chain([own]).collect())
        };
        let put = |leaf: Node| self.read(path, around_it(leaf), false);
        let depth = put(self.node(Value::Null)).shapes.len();
        let scalar = self.read(path, around_it(self.scalar("computed")), true);
        let own = scalar.shapes.iter().find(|shape| shape.what == around.what);
        let asked = own.and_then(|shape| shape.field(name)).map(|field| &field.takes);
        let pair = Value::List(vec![self.scalar("1 mm"), self.scalar("2 mm")]);
        let list = if !refused(&put(self.in_list(self.scalar("1")))) {
            // Elsewhere a word will do too.
            let words = !refused(&put(self.in_list(self.scalar("one"))));
            Some(if words { Items::Scalars } else { Items::Counts })
        } else if !refused(&put(self.in_list(self.node(pair)))) {
            Some(Items::Pairs)
        } else {
            None
        };
        let map = put(self.node(Value::Map(Vec::new())));
        let inside: Vec<&str> = path.iter().copied().chain([name]).collect();
        let fields = match map.shapes.len() > depth {
            _ if refused(&map) => None,
            true => Some(Inside::Shape(self.at(&inside))),
            false => Some(Inside::Words),
        };
        Forms {
            scalar: (!refused(&scalar)).then(|| match asked {
                None | Some(Takes::Node) => Takes::Text,
                Some(takes) => takes.clone(),
            }),
            list,
            map: fields,
        }
    }

    /// Some of the fields of a map, with something that each takes.
    fn examples<'n>(&self, shape: &Shape, names: impl Iterator<Item = &'n String>) -> Vec<(String, Node)> {
        let one = |name: &String| Some((name.clone(), self.example(&shape.field(name)?.takes)?));
        names.filter_map(one).collect()
    }

    fn in_list(&self, item: Node) -> Node {
        self.node(Value::List(vec![item]))
    }

    /// Finds the words that must be among an entry's own values.
    fn own_values(&self, path: &[&str], shape: &mut Shape) {
        if shape.field(VALUES).is_none() {
            return;
        }
        for field in shape.fields.iter_mut().filter(|field| field.takes == Takes::Text) {
            let values = self.in_list(self.scalar("one"));
            let fields = vec![
                (VALUES.to_string(), values),
                (field.name.to_string(), self.scalar("two")),
            ];
            if self
                .holding(path, fields)
                .findings
                .iter()
                .any(|f| f.rule == &bad_word::RULE)
            {
                field.takes = Takes::OwnValue;
            }
        }
    }

    /// Finds what meets a requirement in another way, and what may not stand together.
    fn alternatives(&self, path: &[&str], shape: &mut Shape) {
        let with = |names: &[&str]| {
            let names: Vec<String> = names.iter().map(ToString::to_string).collect();
            self.holding(path, self.examples(shape, names.iter()))
        };
        let missing = |tried: &Tried| {
            tried
                .shapes
                .iter()
                .find(|s| s.what == shape.what)
                .map(|s| s.required.clone())
        };
        let mut instead = Vec::new();
        let mut exclusive = Vec::new();
        for group in &shape.required {
            let others = shape
                .fields
                .iter()
                .filter(|field| !group.iter().any(|name| name == field.name));
            for other in others {
                let mut names = vec![other.name];
                let left = missing(&with(&names)).unwrap_or_default();
                if left.contains(group) {
                    continue;
                }
                let more = left
                    .iter()
                    .filter(|left| !shape.required.contains(left))
                    .filter_map(|left| left.first());
                let more: Vec<String> = more.cloned().collect();
                names.extend(more.iter().map(String::as_str));
                let names = names.into_iter().map(str::to_string).collect();
                instead.extend(group.first().map(|first| (first.clone(), names)));
            }
            let names: Vec<&str> = group.iter().map(String::as_str).collect();
            let whole = |f: &Finding| f.rule == &wrong_kind::RULE && f.primary.span == self.nowhere;
            if names.len() > 1 && with(&names).findings.iter().any(whole) {
                exclusive.push(group.clone());
            }
        }
        (shape.instead, shape.exclusive) = (instead, exclusive);
    }

    /// The field that a bare value in place of an entry is of.
    fn bare(&self, path: &[&str], shape: &Shape) -> Option<String> {
        let tried = self.read(path, self.scalar("1"), false);
        let refused = |f: &Finding| f.rule == &wrong_kind::RULE && f.primary.span == self.here;
        let own = tried.shapes.iter().find(|s| s.what == shape.what)?;
        if tried.findings.iter().any(refused) || path.is_empty() {
            return None;
        }
        // What is required and not missing is what the value stood for; with nothing required, it is what the entry is called.
        let met = shape.required.iter().find(|group| !own.required.contains(group));
        // Of a register's entries the reader says which it is: two fields may complain alike, and one may have nothing to complain of.
        let of_register = path.first().filter(|_| path.len() == 2);
        let register = REGISTERS
            .into_iter()
            .find(|register| of_register == Some(&register.field()));
        let meant = |name: &str| match register {
            Some(register) => super::bare_field(register) == name,
            None => self.stands_for(path, name),
        };
        match met {
            Some(group) => group.iter().find(|name| meant(name)).cloned(),
            None if own.required.is_empty() => shape.fields.first().map(|field| field.name.to_string()),
            None => None,
        }
    }

    /// True if a bare value is read as this field: a fault in it is found at its place.
    fn stands_for(&self, path: &[&str], name: &str) -> bool {
        let faults = |tried: Tried| {
            let here = tried.findings.into_iter().filter(|f| f.primary.span == self.here);
            here.map(|f| f.message).collect::<Vec<_>>()
        };
        let bare = faults(self.read(path, self.scalar("?"), false));
        let named = faults(self.holding(path, vec![(name.to_string(), self.scalar("?"))]));
        !bare.is_empty() && bare == named
    }

    /// Something that a field takes.
    fn example(&self, takes: &Takes) -> Option<Node> {
        Some(match takes {
            Takes::Text | Takes::OwnValue => self.scalar("one"),
            Takes::Date => self.scalar("2026-04-03"),
            Takes::Word(words) | Takes::Tag(words) => self.scalar(words.first()?),
            Takes::Count => self.scalar("4"),
            Takes::Value(reads) => self.scalar(&reads.example),
            Takes::Many(one) => self.example(one)?,
            Takes::Map(one) => self.map(vec![("one".to_string(), self.example(one)?)]),
            Takes::Either(ways) => self.example(ways.first()?)?,
            Takes::Forms(forms) => match (&forms.map, &forms.scalar, forms.list) {
                (Some(Inside::Shape(shape)), ..) => {
                    let needed = shape.required.iter().filter_map(|group| group.first());
                    self.map(self.examples(shape, needed))
                }
                (Some(Inside::Words), ..) => self.map(vec![("one".to_string(), self.scalar("two"))]),
                (None, Some(scalar), _) => self.example(scalar)?,
                (None, None, Some(Items::Scalars | Items::Counts)) => self.in_list(self.scalar("1")),
                (None, None, Some(Items::Pairs)) => {
                    let pair = |x: &str| self.node(Value::List(vec![self.scalar(x), self.scalar("0 mm")]));
                    self.node(Value::List(vec![pair("0 mm"), pair("9 mm"), pair("18 mm")]))
                }
                (None, None, None) => return None,
            },
            Takes::Register(..) | Takes::Entries(_) | Takes::Node => return None,
        })
    }
}

/// The field of an entry that lists what it may be.
const VALUES: &str = "values";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse::names::{BESIDE_REGISTERS, INSIDE, of_a_head};
    use std::collections::BTreeSet;

    fn of_takes(takes: &Takes, names: &mut BTreeSet<&'static str>) {
        match takes {
            Takes::Entries(shape) | Takes::Register(_, shape) => of_shape(shape, names),
            Takes::Many(one) | Takes::Map(one) => of_takes(one, names),
            Takes::Either(ways) => ways.iter().for_each(|one| of_takes(one, names)),
            Takes::Forms(forms) => match &forms.map {
                Some(Inside::Shape(shape)) => of_shape(shape, names),
                Some(Inside::Words) | None => {}
            },
            Takes::Text
            | Takes::Date
            | Takes::Word(_)
            | Takes::Tag(_)
            | Takes::OwnValue
            | Takes::Count
            | Takes::Value(_)
            | Takes::Node => {}
        }
    }

    fn of_shape(shape: &Shape, names: &mut BTreeSet<&'static str>) {
        for field in &shape.fields {
            names.insert(field.name);
            of_takes(&field.takes, names);
        }
    }

    #[test]
    fn names_that_are_listed_are_those_that_readers_ask_for() {
        let (mut outer, mut inner) = (BTreeSet::new(), BTreeSet::new());
        for head in [Head::Procedure, Head::Set, Head::Workshop] {
            for field in &of(head).fields {
                outer.insert(field.name);
                of_takes(&field.takes, &mut inner);
            }
        }
        let beside: BTreeSet<&str> = outer
            .iter()
            .copied()
            .filter(|name| BESIDE_REGISTERS.contains(name))
            .collect();
        assert_eq!(beside, BTreeSet::from(BESIDE_REGISTERS));
        assert_eq!(outer.iter().find(|name| !of_a_head(name)), None);
        assert_eq!(inner, BTreeSet::from(INSIDE));
    }
}
