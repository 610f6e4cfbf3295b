//! Front matter, `set.yaml` and `workshop.yaml`: a tree of nodes in, typed entries with spans out.
//!
//! Fields are read one by one, so that each fault has its own finding at its own place and the rest is still read.

mod cut;
pub mod fields;
mod machine;
mod patterns;
mod pictures;
pub mod probe;
pub mod shape;
mod specs;
mod things;
mod ties;

use crate::domain::quantity::{Dimension, Unit};
use crate::finding::Finding;
use crate::parse::rules::{bad_id, other_language, unknown_field, unknown_unit_name, wrong_kind};
use crate::parse::yaml::{Key, Node, Value};
use crate::source::Span;
use crate::syntax::heads::{Issue, ProcedureHead, SetHead, Style, WorkshopHead};
use crate::syntax::registers::{Entry, REGISTERS, Register, Registers};
use crate::syntax::{Name, is_id};
use crate::words::Language;
use fields::{Fields, key_name};
use std::borrow::Cow;

/// Papers by the names `style.paper` takes.
pub const PAPERS: [&str; 4] = ["a4", "letter", "a5", "half-letter"];

pub fn procedure(node: &Node, span: Span, findings: &mut Vec<Finding>) -> ProcedureHead {
    procedure_fields(Fields::new(node, "a procedure", span, findings))
}

fn procedure_fields(mut fields: Fields) -> ProcedureHead {
    let title = fields.text("title");
    let title = fields.require("title", title);
    let id = fields.text("id").filter(|id| check_id(id, "title", fields.findings()));
    let head = ProcedureHead {
        title,
        id,
        after: fields.names("after"),
        only: ties::onlys(&mut fields),
        about: fields.text("about"),
        issue: issue(&mut fields),
        registers: registers(&mut fields),
    };
    fields.finish();
    head
}

pub fn set(node: &Node, span: Span, findings: &mut Vec<Finding>) -> SetHead {
    set_fields(Fields::new(node, "a set", span, findings))
}

fn set_fields(mut fields: Fields) -> SetHead {
    if let Some(version) = fields.text("benchleaf") {
        let told = other_language::check(&version);
        fields.findings().extend(told);
    }
    let machine = fields.text("machine");
    let machine = fields.require("machine", machine);
    let title = fields.text("title");
    let title = fields.require("title", title);
    let head = SetHead {
        machine,
        title,
        about: fields.text("about"),
        applies_to: fields.text("applies-to"),
        notice: fields.text("notice"),
        issue: issue(&mut fields),
        style: style(&mut fields),
        allow: fields.pairs("allow"),
        deny: fields.names("deny"),
        never: ties::never(&mut fields),
        shared: ties::shared(&mut fields),
        registers: registers(&mut fields),
    };
    fields.finish();
    head
}

pub fn workshop(node: &Node, span: Span, findings: &mut Vec<Finding>) -> WorkshopHead {
    workshop_fields(Fields::new(node, "a workshop", span, findings))
}

fn workshop_fields(mut fields: Fields) -> WorkshopHead {
    let head = WorkshopHead {
        shop: fields.text("shop"),
        registers: registers(&mut fields),
    };
    fields.finish();
    head
}

fn issue(fields: &mut Fields) -> Issue {
    Issue {
        rev: fields.text("rev"),
        date: fields.day("date"),
        source: fields.text("source"),
        tried: fields.day("tried"),
    }
}

fn style(fields: &mut Fields) -> Style {
    let Some(node) = fields.take("style") else {
        return Style::default();
    };
    let mut inner = fields.inner(node, "a style", node.span);
    let paper = inner.listed("paper", &PAPERS);
    let language = inner.tag("language", &Language::ALL.map(Language::code), |tag| {
        Language::find(tag).is_some()
    });
    let gauge_ratio = inner.count("gauge-ratio");
    let pairs = inner.pairs("units");
    let units = pairs
        .iter()
        .filter_map(|(dimension, unit)| house_unit(dimension, unit, inner.findings()))
        .collect();
    inner.finish();
    Style {
        paper,
        language,
        gauge_ratio,
        units,
    }
}

fn house_unit(dimension: &Name, unit: &Name, findings: &mut Vec<Finding>) -> Option<(Dimension, Unit)> {
    let Some(wanted) = Dimension::from_name(&dimension.text) else {
        findings.push(unknown_unit_name::dimension(dimension));
        return None;
    };
    match Unit::find(&unit.text) {
        Some(found) if found.dimension() == wanted => Some((wanted, found)),
        found => {
            findings.push(unknown_unit_name::unit(unit, wanted, found));
            None
        }
    }
}

fn registers(fields: &mut Fields) -> Registers {
    Registers {
        parts: register(fields, Register::Parts, things::part),
        temporary: register(fields, Register::Temporary, things::temporary),
        consumables: register(fields, Register::Consumables, things::consumable),
        tools: register(fields, Register::Tools, things::tool),
        torques: register(fields, Register::Torques, specs::torque),
        limits: register(fields, Register::Limits, specs::limit),
        states: register(fields, Register::States, machine::state),
        actions: register(fields, Register::Actions, machine::action),
        timers: register(fields, Register::Timers, machine::timer),
        holds: register(fields, Register::Holds, machine::hold),
        options: register(fields, Register::Options, machine::option),
        patterns: register(fields, Register::Patterns, patterns::pattern),
        joints: register(fields, Register::Joints, ties::joint),
        cases: register(fields, Register::Cases, ties::case),
        groups: register(fields, Register::Groups, ties::group),
        pictures: register(fields, Register::Pictures, pictures::picture),
    }
}

/// Reads one register; repeated ids are kept, for the rule on duplicates.
fn register<T>(fields: &mut Fields, register: Register, read: fn(&mut Fields, String) -> T) -> Vec<Entry<T>> {
    let Some(node) = fields.take(register.field()) else {
        return Vec::new();
    };
    let Value::Map(map) = &node.value else {
        let wrong = wrong_kind::finding(node.span, register.field(), "a map from id to entry");
        fields.findings().push(wrong);
        return Vec::new();
    };
    let mut entries = Vec::new();
    for (key, node) in map.iter().filter(|(_, node)| node.value != Value::Lost) {
        let id = key_name(key);
        if is_register(key, node) {
            fields.findings().push(unknown_field::indented(&id, register.field()));
            break;
        }
        let field = name_field(register);
        check_id(&id, field, fields.findings());
        let node = &expand(register, key, node);
        let mut inner = fields.inner(node, register.entry(), key.span);
        let name = inner
            .text(field)
            .map_or_else(|| id.text.replace(['-', '_'], " "), |n| n.text);
        let value = read(&mut inner, name);
        inner.finish();
        entries.push(Entry { id, value });
    }
    entries
}

/// True of a key that names a register and has nothing: the register was indented too far.
pub fn is_register(key: &Key, node: &Node) -> bool {
    node.value == Value::Null && REGISTERS.iter().any(|register| register.field() == key.text)
}

/// The field that holds what an entry is called.
fn name_field(register: Register) -> &'static str {
    match register {
        Register::Timers | Register::Holds | Register::Options | Register::Cases => "what",
        _ => "name",
    }
}

/// The field that one value in place of an entry's map is: its name, or what the entry is about.
fn bare_field(register: Register) -> &'static str {
    match register {
        Register::Limits => "limit",
        Register::Timers => "at-least",
        Register::Torques => "torque",
        Register::Groups => "members",
        Register::Pictures => "file",
        other => name_field(other),
    }
}

/// An entry with its one value put into the field that it stands for.
fn expand<'a>(register: Register, key: &Key, node: &'a Node) -> Cow<'a, Node> {
    let field = bare_field(register);
    let stands = match &node.value {
        Value::Scalar(_) => true,
        Value::List(_) => register == Register::Groups,
        Value::Map(_) | Value::Null | Value::Lost => false,
    };
    match stands {
        true => {
            let key = Key {
                span: key.span,
                text: field.to_string(),
            };
            Cow::Owned(Node {
                span: node.span,
                value: Value::Map(vec![(key, node.clone())]),
            })
        }
        false => Cow::Borrowed(node),
    }
}

/// `words` is the field that takes what an id can't hold.
fn check_id(id: &Name, words: &str, findings: &mut Vec<Finding>) -> bool {
    let good = is_id(&id.text);
    if !good {
        findings.push(bad_id::finding(id.span, &id.text, words));
    }
    good
}
