//! Torques, limits and patterns.

use super::fields::{At, Fields, scalar, value};
use super::registers::{Adapter, Layout, Lubrication, Measurement, Pattern, Torque};
use super::things::REUSE;
use crate::domain::limit::{Limit, Tolerance};
use crate::domain::quantity::{Dimension, Kind, ValueError, Written};
use crate::domain::tightening::{Stage, TorqueValue};
use crate::parse::rules::{bad_word, wrong_kind};
use crate::parse::syntax::Name;
use crate::parse::yaml::{Node, Value};
use uom::si::f64::{Length, Ratio};

pub(super) fn torque(fields: &mut Fields, name: String) -> Torque {
    let stages = stages(fields);
    Torque {
        name,
        fastener: fields.text("fastener"),
        count: fields.count("count").map_or(1, |c| c.value),
        stages,
        tolerance: fields.value("tolerance", |t| Tolerance::parse(t, &[Dimension::Torque])),
        lubrication: lubrication(fields),
        engagement: fields.value("engagement", written::<Length>),
        into: fields.text("into"),
        adapter: adapter(fields),
        pattern: fields.text("pattern"),
        reuse: fields.word("reuse", &REUSE).unwrap_or_default(),
        tool: fields.text("tool"),
        note: fields.text("note"),
    }
}

/// `torque:` is one figure, `stages:` a list of them; a spec has one or the other.
fn stages(fields: &mut Fields) -> Vec<At<Stage>> {
    let figure = fields.value("torque", |t| TorqueValue::parse(t).map(Stage::Torque));
    let stages = fields.values("stages", Stage::parse);
    if fields.has(&["torque"]) && fields.has(&["stages"]) {
        let span = fields.span();
        fields.findings().push(wrong_kind::too_many(span, "a torque", &["torque", "stages"]));
    }
    fields.require_one(&["torque", "stages"], figure.as_ref());
    if stages.is_empty() { figure.into_iter().collect() } else { stages }
}

fn written<Q: Kind>(text: &str) -> Result<Written<Q>, ValueError> {
    Written::parse(text)
}

/// One word for both faces, or a map with `threads` and `face`.
fn lubrication(fields: &mut Fields) -> Lubrication {
    let Some(node) = fields.take("lubrication") else { return Lubrication::default() };
    if let Value::Scalar(_) = node.value {
        let word = scalar(node, "lubrication", fields.findings());
        return Lubrication { threads: word.clone(), face: word };
    }
    let mut inner = Fields::new(node, "a lubrication", node.span, fields.findings());
    let found = Lubrication { threads: inner.text("threads"), face: inner.text("face") };
    inner.finish();
    found
}

fn adapter(fields: &mut Fields) -> Option<Adapter> {
    let node = fields.take("adapter")?;
    let mut inner = Fields::new(node, "an adapter", node.span, fields.findings());
    let length = inner.value("length", written::<Length>);
    let length = inner.require("length", length);
    let found = Adapter { length, angle: inner.value("angle", written) };
    inner.finish();
    Some(found)
}

pub(super) fn limit(fields: &mut Fields, name: String) -> Measurement {
    let limit = fields.value("limit", Limit::parse);
    let limit = fields.require("limit", limit);
    let (rows, columns) = places(fields);
    Measurement {
        name,
        limit,
        gauge: fields.text("gauge"),
        rows,
        columns,
        record: fields.flag("record").unwrap_or(true),
        calc: fields.text("calc"),
        note: fields.text("note"),
    }
}

/// `where:` is a list of places, or `rows:` and `columns:` of a grid.
fn places(fields: &mut Fields) -> (Vec<Name>, Vec<Name>) {
    let Some(node) = fields.take("where") else { return (Vec::new(), Vec::new()) };
    match &node.value {
        Value::Map(_) => {
            let mut inner = Fields::new(node, "a grid of places", node.span, fields.findings());
            let (rows, columns) = (inner.names("rows"), inner.names("columns"));
            inner.require("rows", rows.first());
            inner.require("columns", columns.first());
            inner.finish();
            (rows, columns)
        }
        Value::List(items) => (items.iter().filter_map(|n| scalar(n, "where", fields.findings())).collect(), Vec::new()),
        _ => (scalar(node, "where", fields.findings()).into_iter().collect(), Vec::new()),
    }
}

pub(super) fn pattern(fields: &mut Fields, name: String) -> Pattern {
    let span = fields.span();
    let layouts = [circle(fields), grid(fields), listed(fields)];
    let mut found = layouts.into_iter().flatten();
    let layout = found.next();
    if let (Some(_), Some(_)) = (&layout, found.next()) {
        fields.findings().push(wrong_kind::too_many(span, "a pattern", &["circle", "grid", "at"]));
    }
    drop(found);
    let layout = fields.require_one(&["circle", "grid", "at"], layout);
    let order = order(fields, layout.as_ref().map(Layout::count));
    Pattern { name, layout, order, passes: fields.values("passes", written::<Ratio>), note: fields.text("note") }
}

fn circle(fields: &mut Fields) -> Option<Layout> {
    let node = fields.take("circle")?;
    let mut inner = Fields::new(node, "a circle", node.span, fields.findings());
    let count = inner.count("count");
    let count = inner.require("count", count);
    let diameter = inner.value("diameter", written);
    let diameter = inner.require("diameter", diameter);
    let start = inner.value("start", written);
    inner.finish();
    Some(Layout::Circle { count: count?.value, diameter: diameter?.value, start: start.map(|s| s.value) })
}

fn grid(fields: &mut Fields) -> Option<Layout> {
    let node = fields.take("grid")?;
    let mut inner = Fields::new(node, "a grid", node.span, fields.findings());
    let columns = inner.count("columns");
    let columns = inner.require("columns", columns);
    let rows = inner.count("rows");
    let rows = inner.require("rows", rows);
    let pitch = inner.value("pitch", written::<Length>);
    let x = inner.value("pitch-x", written).or_else(|| pitch.clone());
    let y = inner.value("pitch-y", written).or(pitch);
    let x = inner.require("pitch", x);
    let y = if x.is_some() { inner.require("pitch-y", y) } else { y };
    inner.finish();
    Some(Layout::Grid { columns: columns?.value, rows: rows?.value, pitch_x: x?.value, pitch_y: y?.value })
}

fn listed(fields: &mut Fields) -> Option<Layout> {
    let node = fields.take("at")?;
    let findings = fields.findings();
    let Value::List(items) = &node.value else {
        findings.push(wrong_kind::finding(node.span, "at", "a list of `[x, y]`"));
        return None;
    };
    let mut at = Vec::new();
    for item in items {
        match &item.value {
            Value::List(pair) if pair.len() == 2 => {
                let x = coordinate(&pair[0], findings);
                let y = coordinate(&pair[1], findings);
                at.extend(x.zip(y));
            }
            _ => findings.push(wrong_kind::finding(item.span, "a position", "a list of two lengths, such as `[10 mm, 25 mm]`")),
        }
    }
    (at.len() == items.len() && !at.is_empty()).then_some(Layout::Listed(at))
}

fn coordinate(node: &Node, findings: &mut Vec<crate::finding::Finding>) -> Option<Written<Length>> {
    let text = scalar(node, "a position", findings)?;
    Some(value(&text, written, findings)?.value)
}

/// `computed`, or every position once.
fn order(fields: &mut Fields, count: Option<usize>) -> Vec<At<u32>> {
    let Some(node) = fields.take("order") else { return Vec::new() };
    let findings = fields.findings();
    let Value::List(items) = &node.value else {
        if let Some(word) = scalar(node, "order", findings).filter(|w| w.text != "computed") {
            findings.push(bad_word::finding(&word, "order", &["computed"]));
        }
        return Vec::new();
    };
    let texts: Vec<Name> = items.iter().filter_map(|n| scalar(n, "order", findings)).collect();
    let order: Vec<At<u32>> =
        texts.iter().filter_map(|t| t.text.parse().ok().map(|value| At { value, span: t.span })).collect();
    if let Some(count) = count {
        let mut sorted: Vec<u32> = order.iter().map(|o| o.value).collect();
        sorted.sort_unstable();
        if sorted.len() != texts.len() || !sorted.iter().copied().eq(1..=count as u32) {
            let wanted = format!("a list of every position from 1 to {count}, each once");
            findings.push(wrong_kind::finding(node.span, "order", &wanted));
            return Vec::new();
        }
    }
    order
}
