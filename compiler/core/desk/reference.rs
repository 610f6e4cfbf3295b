//! What a head or an entry may hold, as a table of the manual: made from the readers' own questions, so that it can't say otherwise.

use super::language::{Names, language};
use crate::parse::head::probe::{self, Head};
use crate::parse::head::shape::{Field, Forms, Inside, Items, Reads, Shape, Takes};
use crate::syntax::registers::{REGISTERS, Register};

/// The fields of `procedure`, `set`, `workshop` or a register as a table of Markdown; `None` for any other name.
pub fn fields(name: &str) -> Option<String> {
    let head = match name {
        "procedure" => Some(Head::Procedure),
        "set" => Some(Head::Set),
        "workshop" => Some(Head::Workshop),
        _ => None,
    };
    if let Some(head) = head {
        return Some(table(probe::of(head), None));
    }
    let register = REGISTERS.into_iter().find(|register| register.field() == name)?;
    shape_of(register).map(|shape| table(shape, Some(register)))
}

/// What an entry of a register may hold.
fn shape_of(register: Register) -> Option<&'static Shape> {
    let heads = [Head::Procedure, Head::Set, Head::Workshop].map(probe::of);
    let mut shapes = heads.into_iter().flat_map(|head| &head.fields);
    shapes.find_map(|field| match &field.takes {
        Takes::Register(own, shape) if *own == register => Some(&**shape),
        _ => None,
    })
}

/// What one value in place of an entry's map is, by register, as a table of Markdown.
pub fn bare() -> String {
    let mut out = String::from("| register | one value in place of the map is its |\n| --- | --- |\n");
    for register in REGISTERS {
        let bare = shape_of(register).and_then(|shape| shape.bare.as_deref());
        let what = bare.map_or_else(|| "(it takes a map)".to_string(), |field| format!("`{field}`"));
        out += &format!("| `{}` | {what} |\n", register.field());
    }
    out
}

fn table(shape: &Shape, register: Option<Register>) -> String {
    let mut out = String::from("| field | takes |\n| --- | --- |\n");
    for field in &shape.fields {
        out += &format!("| `{}` | {} |\n", field.name, row(shape, field, register));
    }
    if let Some(bare) = &shape.bare {
        out += &format!("\nOne value in place of the map is its `{bare}`.\n");
    }
    out
}

fn row(shape: &Shape, field: &Field, register: Option<Register>) -> String {
    let names = language().names_in(register, field.name);
    let mut words = takes(&field.takes, names);
    for group in shape
        .required
        .iter()
        .filter(|group| group.iter().any(|name| name == field.name))
    {
        words += &match &group[..] {
            [_] => "; required".to_string(),
            several => format!("; one of {} is required", listed(several, "and")),
        };
    }
    for group in shape
        .exclusive
        .iter()
        .filter(|group| group.iter().any(|name| name == field.name))
    {
        let others: Vec<String> = group.iter().filter(|name| *name != field.name).cloned().collect();
        words += &format!("; not beside {}", listed(&others, "or"));
    }
    words
}

/// `a`, `b` and `c`.
fn listed(names: &[String], joined: &str) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    match quoted.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} {joined} {last}", rest.join(", ")),
        None => String::new(),
    }
}

fn takes(takes: &Takes, names: Option<&Names>) -> String {
    match takes {
        Takes::Text => match names {
            Some(names) => named(names),
            None => "a text".to_string(),
        },
        Takes::Date => "a date, such as `2026-03-09`".to_string(),
        Takes::Word(words) => listed(words, "or"),
        Takes::Tag(words) => format!("a language: {}", listed(words, "or")),
        Takes::OwnValue => "one of its own values".to_string(),
        Takes::Count => "a whole number from 1".to_string(),
        Takes::Value(reads) => value(reads),
        Takes::Many(one) => format!("{}, or a list of such", self::takes(one, names)),
        Takes::Map(one) => match names {
            Some(names) => format!("a map: {}, and {} for it", named(names), self::takes(one, None)),
            None => format!("a map of your own words to {}", self::takes(one, None)),
        },
        Takes::Either(kinds) => {
            let kinds: Vec<String> = kinds.iter().map(|kind| self::takes(kind, names)).collect();
            kinds.join(", or ")
        }
        Takes::Entries(shape) => {
            let fields: Vec<String> = shape.fields.iter().map(|field| field.name.to_string()).collect();
            format!("a map of ids to maps with {}", listed(&fields, "and"))
        }
        Takes::Register(register, _) => format!("a register: `benchleaf manual {register}`"),
        Takes::Node => "see below".to_string(),
        Takes::Forms(forms) => self::forms(forms, names),
    }
}

fn named(names: &Names) -> String {
    match names {
        Names::Entries(registers) => {
            let entries: Vec<&str> = registers.iter().map(|register| register.entry()).collect();
            format!("the id of {}", entries.join(" or "))
        }
        Names::Procedures => "the id of a procedure".to_string(),
        Names::Labels => "the label of a step, or `PROCEDURE/LABEL`".to_string(),
    }
}

fn value(reads: &Reads) -> String {
    let mut kinds: Vec<String> = reads.dimensions.iter().map(ToString::to_string).collect();
    if reads.fastener {
        kinds.push("a thread with its class, such as `M8 8.8`".to_string());
    }
    if kinds.len() > 6 {
        kinds = vec!["a value of any dimension".to_string()];
    }
    if reads.bare {
        kinds.push("a number".to_string());
    }
    if !reads.words.is_empty() {
        let example = reads.words.first_chunk::<2>().filter(|_| reads.words.len() > 8);
        kinds.push(match example {
            None => listed(&reads.words, "or"),
            Some(two) => format!("a word such as {}", listed(two, "or")),
        });
    }
    // Beside a figure, words need no example of one less.
    let named = !reads.words.is_empty() && reads.dimensions.is_empty();
    let example = match reads.example.is_empty() || reads.fastener || named {
        true => String::new(),
        false => format!(", such as `{}`", reads.example),
    };
    format!("{}{example}", kinds.join(" or "))
}

fn forms(forms: &Forms, names: Option<&Names>) -> String {
    let mut ways: Vec<String> = forms.scalar.iter().map(|one| takes(one, names)).collect();
    ways.extend(forms.list.map(|items| {
        match items {
            Items::Scalars => "a list of words",
            Items::Counts => "a list of whole numbers",
            Items::Pairs => "a list of pairs",
        }
        .to_string()
    }));
    ways.extend(forms.map.as_ref().map(|inside| match inside {
        Inside::Shape(shape) => {
            let fields: Vec<String> = shape.fields.iter().map(|field| field.name.to_string()).collect();
            format!("a map with {}", listed(&fields, "and"))
        }
        Inside::Words => "a map of your own words".to_string(),
    }));
    ways.join(", or ")
}
