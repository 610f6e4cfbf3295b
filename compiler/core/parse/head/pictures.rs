//! Pictures with pointers into them.

use super::fields::{Fields, key_name, once_each};
use super::shape::Takes;
use super::specs::written;
use crate::parse::rules::{impossible_pointer, wrong_kind};
use crate::parse::yaml::Value;
use crate::syntax::registers::{Picture, Pointer};
use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

/// Letters of a label: more don't fit into what is drawn round it.
const LABEL: usize = 2;

pub(super) fn picture(fields: &mut Fields, name: String) -> Picture {
    let file = fields.text("file");
    Picture {
        name,
        file: fields.require("file", file),
        points: points(fields),
        note: fields.text("note"),
    }
}

/// By what is drawn at the end of each line.
fn points(fields: &mut Fields) -> Vec<Pointer> {
    let node = fields.take("points");
    fields.ask("points", || Takes::Entries(Box::default()));
    let Some(node) = node else {
        return Vec::new();
    };
    let Value::Map(map) = &node.value else {
        let wanted = "a map from number to pointer, such as `1: {at: [40 %, 60 %], of: plug}`";
        fields.findings().push(wrong_kind::finding(node.span, "points", wanted));
        return Vec::new();
    };
    let mut found = Vec::new();
    for (key, node) in once_each(map, fields.findings()) {
        let label = key_name(key);
        if super::check_id(&label, "says", fields.findings()) && label.text.chars().count() > LABEL {
            fields.findings().push(impossible_pointer::long(&label));
        }
        let mut inner = fields.inner(node, "a pointer", key.span);
        let at = place(&mut inner);
        let (of, says) = (inner.text("of"), inner.text("says"));
        inner.require_one(&["of", "says"], of.as_ref().or(says.as_ref()));
        inner.finish();
        found.push(Pointer { label, at, of, says });
    }
    found
}

/// Shares of width and height.
fn place(fields: &mut Fields) -> Option<(f64, f64)> {
    let given = fields.values("at", written::<Ratio>);
    fields.require("at", given.first());
    let node = fields.take("at")?;
    let count = match &node.value {
        Value::List(items) => items.len(),
        _ => 1,
    };
    let shares: Vec<f64> = given
        .iter()
        .map(|share| share.value.quantity().get::<ratio>())
        .collect();
    if shares.len() < count {
        // What couldn't be read has had its finding.
        return None;
    }
    let span = node.span;
    match shares.as_slice() {
        [across, up] if [across, up].iter().all(|share| (0.0..=1.0).contains(*share)) => Some((*across, *up)),
        [_, _] => {
            fields.findings().push(impossible_pointer::beside(span));
            None
        }
        _ => {
            fields.findings().push(impossible_pointer::no_place(span));
            None
        }
    }
}
