//! Fields that tie entries to each other: what holds, covers and needs what, and for which choices an entry is there.

use super::fields::{Fields, key_name, once_each, scalar};
use super::shape::Takes;
use crate::finding::Finding;
use crate::parse::mark;
use crate::parse::rules::wrong_kind;
use crate::parse::yaml::{Node, Value};
use crate::syntax::registers::{Case, Group, Joint};
use crate::syntax::ties::{Need, Shared, Tie, Ties};
use crate::syntax::{Name, Only};

/// Reads those of the fields that a register has.
pub(super) fn ties(fields: &mut Fields, of: &[Tie]) -> Ties {
    let mut ties = Ties::default();
    for tie in of {
        match tie {
            Tie::Secures => ties.secures = fields.names("secures"),
            Tie::Covers => ties.covers = fields.names("covers"),
            Tie::Contains => ties.contains = fields.names("contains"),
            Tie::Needs => ties.needs = needs(fields, "needs"),
            Tie::NeverWith => ties.never_with = fields.names("never-with"),
            Tie::ToFit => ties.to_fit = needs(fields, "to-fit"),
            Tie::ToRemove => ties.to_remove = needs(fields, "to-remove"),
            Tie::ToLoosen => ties.to_loosen = needs(fields, "to-loosen"),
            Tie::ToTighten => ties.to_tighten = needs(fields, "to-tighten"),
            Tie::Only => ties.only = onlys(fields),
            Tie::Each => ties.each = fields.text("each"),
        }
    }
    ties
}

/// A list of conditions, one of them in place of a list, or a map from state to value.
fn needs(fields: &mut Fields, name: &'static str) -> Vec<Need> {
    let is_map = matches!(fields.take(name).map(|node| &node.value), Some(Value::Map(_)));
    let pairs = if is_map { fields.pairs(name) } else { Vec::new() };
    let names = if is_map { Vec::new() } else { fields.names(name) };
    fields.ask(name, || {
        Takes::Either(vec![Takes::many(Takes::Text), Takes::map(Takes::Text)])
    });
    let need = |(id, value): (Name, Name)| Need {
        span: id.span,
        id,
        values: value_list(&value),
    };
    let mut found: Vec<Need> = pairs.into_iter().map(need).collect();
    for text in names {
        match mark::need(&text.text, text.span.slice(0..text.text.len())) {
            Some(need) => found.push(need),
            None => fields.findings().push(wrong_kind::finding(
                text.span,
                name,
                "an id, or an id and a value such as `drain=open`",
            )),
        }
    }
    found
}

/// `a|b` as two values.
fn value_list(value: &Name) -> Vec<Name> {
    let mut start = 0;
    let mut values = Vec::new();
    for piece in value.text.split('|') {
        let text = piece.trim();
        let lead = start + (piece.len() - piece.trim_start().len());
        values.push(Name {
            text: text.to_string(),
            span: value.span.slice(lead..lead + text.len()),
        });
        start += piece.len() + 1;
    }
    values
}

/// `only: option=value`, or a list of such, all of which must hold.
pub(super) fn onlys(fields: &mut Fields) -> Vec<Only> {
    let mut found = Vec::new();
    for text in fields.names("only") {
        match mark::only(&text.text, text.span.slice(0..text.text.len())) {
            Some(only) => found.push(only),
            None => fields.findings().push(wrong_kind::finding(
                text.span,
                "only",
                "an option and its value, such as `seals=renew`",
            )),
        }
    }
    found
}

pub(super) fn joint(fields: &mut Fields, name: String) -> Joint {
    let takes = fields.names("takes");
    fields.require("takes", takes.first());
    let closed_by = fields.names("closed-by");
    fields.require("closed-by", closed_by.first());
    Joint {
        name,
        takes,
        closed_by,
        ties: ties(fields, &[Tie::Only, Tie::Each]),
        note: fields.text("note"),
    }
}

pub(super) fn case(fields: &mut Fields, what: String) -> Case {
    Case {
        what,
        note: fields.text("note"),
    }
}

pub(super) fn group(fields: &mut Fields, name: String) -> Group {
    let members = fields.names("members");
    fields.require("members", members.first());
    Group {
        name,
        members,
        note: fields.text("note"),
    }
}

/// States that a temporary item keeps, each with one value or a list of them.
pub(super) fn keeps(fields: &mut Fields) -> Vec<(Name, Vec<Name>)> {
    let node = fields.take("keeps");
    fields.ask("keeps", || Takes::map(Takes::many(Takes::Text)));
    let Some(node) = node else {
        return Vec::new();
    };
    let Some(map) = map(node, "keeps", "a map from state to value", fields.findings()) else {
        return Vec::new();
    };
    let mut kept = Vec::new();
    for (key, node) in once_each(map, fields.findings()) {
        let values = match &node.value {
            Value::List(items) => items
                .iter()
                .filter_map(|item| scalar(item, "keeps", fields.findings()))
                .collect(),
            _ => scalar(node, "keeps", fields.findings())
                .iter()
                .flat_map(value_list)
                .collect(),
        };
        kept.push((key_name(key), values));
    }
    kept
}

type Map = [(crate::parse::yaml::Key, Node)];

fn map<'a>(node: &'a Node, name: &str, wanted: &str, findings: &mut Vec<Finding>) -> Option<&'a Map> {
    match &node.value {
        Value::Map(map) => Some(map),
        _ => {
            findings.push(wrong_kind::finding(node.span, name, wanted));
            None
        }
    }
}

/// `never:` of a set: choices that don't go together, each a map from option to value.
pub(super) fn never(fields: &mut Fields) -> Vec<Vec<(Name, Name)>> {
    let node = fields.take("never");
    fields.ask("never", || Takes::many(Takes::map(Takes::Text)));
    let Some(node) = node else {
        return Vec::new();
    };
    let wanted = "a list of maps, such as `- {seal: lip, oil: thick}`";
    let items = match &node.value {
        Value::List(items) => items.as_slice(),
        _ => std::slice::from_ref(node),
    };
    let mut all = Vec::new();
    for item in items {
        let Some(map) = map(item, "never", wanted, fields.findings()) else {
            continue;
        };
        let mut pairs = Vec::new();
        for (key, node) in once_each(map, fields.findings()) {
            pairs.extend(scalar(node, "never", fields.findings()).map(|value| (key_name(key), value)));
        }
        if pairs.len() == map.len() && !pairs.is_empty() {
            all.push(pairs);
        }
    }
    all
}

/// `procedures:` of a set: cards that lie elsewhere.
pub(super) fn shared(fields: &mut Fields) -> Vec<Shared> {
    let node = fields.take("procedures");
    fields.ask("procedures", || Takes::Entries(Box::default()));
    let Some(node) = node else {
        return Vec::new();
    };
    let Some(map) = map(node, "procedures", "a map from id to a file", fields.findings()) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for (key, node) in once_each(map, fields.findings()) {
        let id = key_name(key);
        super::check_id(&id, "title", fields.findings());
        let mut inner = fields.inner(node, "a shared procedure", key.span);
        let file = inner.text("file");
        let shared = Shared {
            id,
            file: inner.require("file", file),
            after: inner.names("after"),
            only: onlys(&mut inner),
        };
        inner.finish();
        all.push(shared);
    }
    all
}
