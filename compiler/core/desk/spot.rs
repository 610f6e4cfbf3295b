//! Where a path of keys leads to in the shape of a head.

use super::language;
use crate::parse::head::shape::{Field, Inside, Shape, Takes};
use crate::syntax::registers::{REGISTERS, Register};

/// The register of a field.
pub fn register(name: &str) -> Option<Register> {
    REGISTERS.into_iter().find(|register| register.field() == name)
}

/// Where a path of keys leads to.
pub enum Spot<'a> {
    /// A map with fields.
    Map(&'a Shape),
    /// The entries of a register.
    Entries,
    /// A field that holds words of the author's, of an entry or of the head.
    Field(Option<Register>, &'a Field),
}

/// Where a path leads to; `None` where nothing of the language is.
pub fn spot<'a>(root: &'a Shape, path: &[String]) -> Option<Spot<'a>> {
    let mut here = Spot::Map(root);
    let mut of: Option<(Option<Register>, &Field)> = None;
    for name in path {
        here = match here {
            Spot::Map(shape) => {
                let field = shape.field(name)?;
                match &field.takes {
                    Takes::Register(register, _) => {
                        of = Some((Some(*register), field));
                        Spot::Entries
                    }
                    Takes::Entries(_) => {
                        of = Some((None, field));
                        Spot::Entries
                    }
                    Takes::Forms(forms) => match &forms.map {
                        Some(Inside::Shape(shape)) => Spot::Map(shape),
                        Some(Inside::Words) | None => Spot::Field(of.and_then(|(register, _)| register), field),
                    },
                    _ => Spot::Field(of.and_then(|(register, _)| register), field),
                }
            }
            Spot::Entries => match of.map(|(_, field)| &field.takes) {
                Some(Takes::Register(_, shape) | Takes::Entries(shape)) => Spot::Map(shape),
                _ => return None,
            },
            Spot::Field(..) => return None,
        };
    }
    Some(here)
}

/// True of a field whose value stands in lines below it, and never behind its name.
pub fn is_map(field: &Field) -> bool {
    let bare = matches!(&field.takes, Takes::Forms(forms) if forms.scalar.is_some());
    matches!(field.takes, Takes::Register(..) | Takes::Entries(_) | Takes::Map(_))
        || (language::inside(field).is_some() && !bare)
}

/// What a field takes, in a word or two.
pub fn kind_of(field: &Field) -> &'static str {
    match &field.takes {
        Takes::Register(..) => "register",
        Takes::Date => "date",
        Takes::Count => "whole number",
        Takes::Word(_) | Takes::Tag(_) | Takes::OwnValue => "word",
        Takes::Value(_) => "value",
        Takes::Many(_) | Takes::Either(_) => "one or a list",
        Takes::Map(_) | Takes::Entries(_) => "map",
        Takes::Text | Takes::Node | Takes::Forms(_) => "",
    }
}
