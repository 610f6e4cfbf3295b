//! Bolt patterns.

use super::fields::{Fields, scalar, value};
use super::shape::Takes;
use super::specs::written;
use crate::domain::pattern::{self, Order, Passes, PatternFault, Position};
use crate::domain::quantity::Written;
use crate::finding::Finding;
use crate::parse::rules::{impossible_pattern, wrong_kind};
use crate::parse::yaml::{Node, Value};
use crate::source::Span;
use crate::syntax::registers::{Layout, Pattern, Places, Side};
use uom::si::f64::{Angle, Length, Ratio};

/// The fields that give positions.
const LAYOUTS: [&str; 3] = ["circle", "grid", "at"];

/// What a field made of the positions, and where it stands.
type Laid = (Layout, Result<pattern::Pattern, PatternFault>, Span);

pub(super) fn pattern(fields: &mut Fields, name: String) -> Pattern {
    let span = fields.span();
    let layouts = [circle(fields), grid(fields), listed(fields)];
    let layouts: Vec<Laid> = layouts.into_iter().flatten().collect();
    if layouts.len() > 1 {
        fields
            .findings()
            .push(wrong_kind::too_many(span, "a pattern", &LAYOUTS));
    }
    fields.require_one(&LAYOUTS, layouts.first());
    let places = layouts.into_iter().next().and_then(|(layout, pattern, span)| {
        let pattern = sound(pattern, span, fields.findings())?;
        let (order, computed) = order(fields, &pattern)?;
        let loosening = loosening(fields, &pattern, &order)?;
        Some(Places {
            layout,
            pattern,
            order,
            loosening,
            computed,
        })
    });
    if places.is_none() {
        // Asked for all the same, so that it doesn't count as unknown.
        fields.take("order");
        fields.take("loosen");
    }
    Pattern {
        name,
        places,
        passes: passes(fields),
        landmarks: landmarks(fields),
        note: fields.text("note"),
    }
}

/// What the domain made of something; its fault is reported.
fn sound<T>(made: Result<T, PatternFault>, span: Span, findings: &mut Vec<Finding>) -> Option<T> {
    made.map_err(|fault| findings.push(impossible_pattern::finding(span, &fault)))
        .ok()
}

fn passes(fields: &mut Fields) -> Option<Passes> {
    let shares = fields.values("passes", written::<Ratio>);
    let span = shares.first()?.span;
    let shares = shares.into_iter().map(|s| s.value).collect();
    sound(Passes::new(shares), span, fields.findings())
}

/// What lies beyond which side: `{right: flywheel}`.
fn landmarks(fields: &mut Fields) -> Vec<(Side, String)> {
    let Some(node) = fields.take("landmarks") else {
        return Vec::new();
    };
    let mut inner = fields.inner(node, "landmarks", node.span);
    let named = Side::ALL.map(|side| (side, inner.text(side.word())));
    inner.finish();
    let told = named.into_iter().filter_map(|(side, name)| Some((side, name?.text)));
    told.filter(|(_, name)| !name.is_empty()).collect()
}

fn circle(fields: &mut Fields) -> Option<Laid> {
    let node = fields.take("circle")?;
    let mut inner = fields.inner(node, "a circle", node.span);
    let count = inner.count("count");
    let count = inner.require("count", count);
    let diameter = inner.value("diameter", written::<Length>);
    let diameter = inner.require("diameter", diameter);
    let start = inner
        .value("start", written::<Angle>)
        .map_or_else(Angle::default, |s| s.value.quantity());
    inner.finish();
    let (count, diameter) = (count?.value as usize, diameter?.value.quantity());
    Some((
        Layout::Circle,
        pattern::Pattern::circle(count, diameter, start),
        node.span,
    ))
}

fn grid(fields: &mut Fields) -> Option<Laid> {
    let node = fields.take("grid")?;
    let mut inner = fields.inner(node, "a grid", node.span);
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
    let (columns, rows) = (columns?.value as usize, rows?.value as usize);
    let made = pattern::Pattern::grid(columns, rows, x?.value.quantity(), y?.value.quantity());
    Some((Layout::Grid, made, node.span))
}

fn listed(fields: &mut Fields) -> Option<Laid> {
    let node = fields.take("at")?;
    let findings = fields.findings();
    let Value::List(items) = &node.value else {
        findings.push(wrong_kind::finding(node.span, "at", "a list of `[x, y]`"));
        return None;
    };
    let mut at = Vec::new();
    for item in items {
        if let Value::List(pair) = &item.value
            && let [x, y] = pair.as_slice()
        {
            let x = coordinate(x, findings);
            let y = coordinate(y, findings);
            at.extend(x.zip(y).map(|(x, y)| Position { x, y }));
        } else {
            findings.push(wrong_kind::finding(
                item.span,
                "a position",
                "a list of two lengths, such as `[10 mm, 25 mm]`",
            ));
        }
    }
    (at.len() == items.len()).then(|| (Layout::Listed, pattern::Pattern::listed(at), node.span))
}

fn coordinate(node: &Node, findings: &mut Vec<Finding>) -> Option<Length> {
    let text = scalar(node, "a position", findings)?;
    let written: Written<Length> = value(&text, written, findings)?.value;
    Some(written.quantity())
}

/// The author's order, or the computed one; and whether it was computed.
fn order(fields: &mut Fields, pattern: &pattern::Pattern) -> Option<(Order, bool)> {
    let Some(node) = fields.take("order") else {
        return Some((pattern.computed_order(), true));
    };
    let Value::List(items) = &node.value else {
        fields.listed("order", &["computed"]);
        return Some((pattern.computed_order(), true));
    };
    Some((numbered(fields, "order", node.span, items, pattern)?, false))
}

/// The author's order of undoing, or that of tightening the other way round.
fn loosening(fields: &mut Fields, pattern: &pattern::Pattern, order: &Order) -> Option<Order> {
    let node = fields.take("loosen");
    fields.ask("loosen", || Takes::many(Takes::Text));
    let Some(node) = node else {
        let back: Vec<usize> = order.numbers().iter().rev().copied().collect();
        return pattern.given_order(&back).ok();
    };
    let Value::List(items) = &node.value else {
        let wanted = "a list of positions, such as `[3, 1, 2]`";
        fields.findings().push(wrong_kind::finding(node.span, "loosen", wanted));
        return None;
    };
    numbered(fields, "loosen", node.span, items, pattern)
}

/// Positions by their numbers.
fn numbered(fields: &mut Fields, field: &str, span: Span, items: &[Node], pattern: &pattern::Pattern) -> Option<Order> {
    let findings = fields.findings();
    let mut numbers = Vec::new();
    for item in items {
        let text = scalar(item, field, findings)?;
        match text.text.parse() {
            Ok(number) => numbers.push(number),
            Err(_) => {
                findings.push(wrong_kind::finding(
                    text.span,
                    &format!("a position in `{field}`"),
                    "a whole number from 1",
                ));
                return None;
            }
        }
    }
    sound(pattern.given_order(&numbers), span, findings)
}
