//! Torques and limits.

use super::fields::{Fields, scalar};
use super::things::{REUSE, hazards};
use super::ties::ties;
use crate::budgets;
use crate::domain::fastener::{Fastener, TappedMaterial};
use crate::domain::limit::{Limit, Tolerance};
use crate::domain::lubrication::Condition;
use crate::domain::quantity::{Dimension, Kind, ValueError, Written};
use crate::domain::tightening::{Drag, Stage, again};
use crate::parse::rules::{over_budget, repeated_field, wrong_kind};
use crate::parse::yaml::Value;
use crate::source::Span;
use crate::syntax::At;
use crate::syntax::Name;
use crate::syntax::registers::{Adapter, Lubrication, Measurement, Torque};
use crate::syntax::ties::Tie;
use std::collections::BTreeMap;
use uom::si::f64::Length;

pub(super) fn torque(fields: &mut Fields, name: String) -> Torque {
    let stages = stages(fields);
    Torque {
        name,
        fastener: fields.worded("fastener", Fastener::parse),
        count: fields.count("count"),
        stages,
        tolerance: fields.value("tolerance", |t| Tolerance::parse(t, &[Dimension::Torque])),
        lubrication: lubrication(fields),
        engagement: fields.value("engagement", written::<Length>),
        grip: fields.value("grip", written::<Length>),
        into: fields.worded("into", TappedMaterial::parse),
        adapter: adapter(fields),
        drag: fields.value("drag", Drag::parse),
        pattern: fields.text("pattern"),
        reuse: fields.word("reuse", &REUSE).unwrap_or_default(),
        tool: fields.text("tool"),
        part: fields.text("part"),
        lubricant: fields.text("lubricant"),
        again: fields.worded("again", again).map(|again| again.word),
        thread: fields.text("thread"),
        ties: ties(
            fields,
            &[
                Tie::Secures,
                Tie::Needs,
                Tie::NeverWith,
                Tie::ToLoosen,
                Tie::ToTighten,
                Tie::Only,
                Tie::Each,
            ],
        ),
        confirmed: fields.text("confirmed"),
        hazards: hazards(fields),
        note: fields.text("note"),
    }
}

impl Torque {
    /// How many there are; one if it isn't said.
    pub fn count(&self) -> u32 {
        self.count.as_ref().map_or(1, |count| count.value)
    }

    /// True if it is tightened by hand and no further: it has no figure, and that is said.
    pub fn is_by_hand(&self) -> bool {
        !self.stages.is_empty() && self.stages.iter().all(|stage| stage.value.is_by_hand())
    }
}

/// `torque:` is one figure, `stages:` a list of them; a spec has one or the other.
fn stages(fields: &mut Fields) -> Vec<At<Stage>> {
    let figure = fields.value("torque", Stage::only);
    let stages = fields.values("stages", Stage::parse);
    if fields.has(&["torque"]) && fields.has(&["stages"]) {
        let span = fields.span();
        fields
            .findings()
            .push(wrong_kind::too_many(span, "a torque", &["torque", "stages"]));
    }
    fields.require_one(&["torque", "stages"], figure.as_ref());
    if stages.is_empty() {
        figure.into_iter().collect()
    } else {
        stages
    }
}

pub(super) fn written<Q: Kind>(text: &str) -> Result<Written<Q>, ValueError> {
    Written::parse(text)
}

/// One word for both faces, or a map with `threads` and `face`.
fn lubrication(fields: &mut Fields) -> Lubrication {
    match fields.take("lubrication") {
        None => Lubrication::default(),
        Some(node) if matches!(node.value, Value::Scalar(_)) => {
            let both = fields.worded("lubrication", Condition::parse);
            Lubrication {
                unread: both.is_none(),
                threads: both.clone(),
                face: both,
            }
        }
        Some(node) => {
            let mut inner = fields.inner(node, "a lubrication", node.span);
            let threads = inner.worded("threads", Condition::parse);
            let face = inner.worded("face", Condition::parse);
            let unread = threads.is_none() && (inner.has(&["threads"]) || !matches!(node.value, Value::Map(_)));
            inner.finish();
            Lubrication { threads, face, unread }
        }
    }
}

fn adapter(fields: &mut Fields) -> Option<Adapter> {
    let node = fields.take("adapter")?;
    let mut inner = fields.inner(node, "an adapter", node.span);
    let length = inner.value("length", written::<Length>);
    let length = inner.require("length", length);
    let found = Adapter {
        length,
        angle: inner.value("angle", written),
    };
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
        out: fields.text("out"),
        ties: ties(fields, &[Tie::Needs, Tie::NeverWith, Tie::Only, Tie::Each]),
        note: fields.text("note"),
    }
}

/// `where:` is a list of places, or `rows:` and `columns:` of a grid.
fn places(fields: &mut Fields) -> (Vec<Name>, Vec<Name>) {
    let Some(node) = fields.take("where") else {
        return (Vec::new(), Vec::new());
    };
    let (rows, columns) = match &node.value {
        Value::Map(_) => {
            let mut inner = fields.inner(node, "a grid of places", node.span);
            let (rows, columns) = (inner.names("rows"), inner.names("columns"));
            inner.require("rows", rows.first());
            inner.require("columns", columns.first());
            inner.finish();
            (rows, columns)
        }
        Value::List(items) => (
            items
                .iter()
                .filter_map(|n| scalar(n, "where", fields.findings()))
                .collect(),
            Vec::new(),
        ),
        _ => (
            scalar(node, "where", fields.findings()).into_iter().collect(),
            Vec::new(),
        ),
    };
    let (rows, columns) = (different(rows, fields), different(columns, fields));
    let boxes = rows.len().saturating_mul(columns.len().max(1));
    if budgets::BOXES.is_over(boxes) {
        let finding = over_budget::finding(node.span, &budgets::BOXES, boxes);
        fields.findings().push(finding);
        return (Vec::new(), Vec::new());
    }
    (rows, columns)
}

/// Places without repeated ones, which are reported: a reading couldn't be told from the other of its name.
fn different(places: Vec<Name>, fields: &mut Fields) -> Vec<Name> {
    let mut first: BTreeMap<String, Span> = BTreeMap::new();
    let mut kept = Vec::new();
    for place in places {
        match first.get(&place.text) {
            Some(first) => {
                let finding = repeated_field::finding(place.span, &place.text, *first);
                fields.findings().push(finding);
            }
            None => {
                first.insert(place.text.clone(), place.span);
                kept.push(place);
            }
        }
    }
    kept
}
