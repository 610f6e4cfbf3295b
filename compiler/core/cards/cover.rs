//! What is read before step 1: what the work is, and what to lay out.

use super::card::{Block, CardRef, Inline, KitRow};
use super::figures::{self, By};
use super::value::Value;
use super::written::{push_new, text};
use crate::domain::amount::Amount;
use crate::domain::quantity::{Figure, Measure};
use crate::model::Name;
use crate::model::registers::{Consumable, Part, Reuse, Temporary, Tool};
use crate::model::{Catalogue, Handle, Set};
use crate::words::{Phrase, joined, phrase, say};

/// Parts, temporary items, consumables and tools of one card, each in order of first use.
#[derive(Debug, Default)]
pub struct Kit {
    pub parts: Vec<KitRow>,
    pub temporary: Vec<KitRow>,
    pub consumables: Vec<KitRow>,
    pub tools: Vec<KitRow>,
}

impl Kit {
    pub fn part(&mut self, catalogue: &Catalogue, handle: Handle<Part>, amount: String, step: &str) {
        let part = &catalogue.parts[handle];
        let row = row(
            &mut self.parts,
            &catalogue.parts.get(handle).id,
            &part.name,
            text(&part.number).into(),
            step,
        );
        row.single_use = part.reuse == Reuse::No;
        more(row, amount);
        cap(row, part.qty);
    }

    pub fn temporary(&mut self, catalogue: &Catalogue, handle: Handle<Temporary>, amount: String, step: &str) {
        let temporary = &catalogue.temporary[handle];
        let id = &catalogue.temporary.get(handle).id;
        let row = row(
            &mut self.temporary,
            id,
            &temporary.name,
            text(&temporary.flag).into(),
            step,
        );
        more(row, amount);
        cap(row, temporary.qty);
    }

    pub fn consumable(&mut self, catalogue: &Catalogue, handle: Handle<Consumable>, amount: String, step: &str) {
        let consumable = &catalogue.consumables[handle];
        let id = &catalogue.consumables.get(handle).id;
        let row = row(
            &mut self.consumables,
            id,
            &consumable.name,
            text(&consumable.note).into(),
            step,
        );
        row.ghs = consumable.hazards.iter().map(|h| h.value.code().to_string()).collect();
        more(row, amount);
        if row.amount.is_empty() {
            let pack = consumable.amount.as_ref();
            row.amount = pack.map_or_else(Value::default, |a| Value::from(&a.value));
        }
    }

    pub fn tool(&mut self, catalogue: &Catalogue, handle: Handle<Tool>, step: &str) {
        let tool = &catalogue.tools[handle];
        let range = tool.range.as_ref().map(|r| figures::interval(&r.value, By::Author));
        let resolution = tool.resolution.as_ref().map(|r| say::reads(r.value.to_string()));
        let detail = joined(range.into_iter().chain(resolution), ", ");
        row(
            &mut self.tools,
            &catalogue.tools.get(handle).id,
            &tool.name,
            detail,
            step,
        );
    }
}

/// The row of a thing, made if it isn't there yet.
fn row<'a>(rows: &'a mut Vec<KitRow>, id: &Name, name: &str, detail: Phrase, step: &str) -> &'a mut KitRow {
    let at = rows
        .iter()
        .position(|r| r.name == name && r.detail == detail)
        .unwrap_or_else(|| {
            rows.push(KitRow {
                id: id.text.clone(),
                name: name.to_string(),
                amount: Value::default(),
                detail,
                single_use: false,
                ghs: Vec::new(),
                steps: Vec::new(),
            });
            rows.len() - 1
        });
    let row = &mut rows[at];
    push_new(&mut row.steps, step);
    row
}

/// Adds an amount to a row: counts and amounts in one unit are summed, others stand side by side.
fn more(row: &mut KitRow, amount: String) {
    if amount.is_empty() {
        return;
    }
    let parsed = |text: &str, of: fn(&Amount) -> Value| Amount::parse(text).map_or_else(|_| text.into(), |a| of(&a));
    row.amount = match sum(&row.amount, &amount) {
        _ if row.amount.is_empty() => parsed(&amount, |a| Value::from(a)),
        Some(sum) => parsed(&sum, Value::worked_out),
        None => phrase!(row.amount.said(), " + ", amount).into(),
    };
}

/// What goes on twice, or on and off, is still the same thing: there are no more of it than its register says.
fn cap(row: &mut KitRow, qty: u32) {
    if row.amount.parse::<u32>().is_ok_and(|n| n > qty) {
        row.amount = Value::from(&Amount::Count(qty));
    }
}

/// The sum of two amounts as printed; `None` if they are of different kinds or units.
fn sum(one: &str, other: &str) -> Option<String> {
    match (Amount::parse(one).ok()?, Amount::parse(other).ok()?) {
        (Amount::Count(one), Amount::Count(other)) => Some(one.checked_add(other)?.to_string()),
        (Amount::Measure(one), Amount::Measure(other)) if one.unit() == other.unit() => {
            let value = one.value().checked_add(other.value())?;
            Some(Measure::new(Figure::computed(value), one.unit()).to_string())
        }
        _ => None,
    }
}

/// Plain text as paragraphs: an empty line parts them.
pub fn paragraphs(text: &str) -> Vec<Block> {
    let paragraph = |p: &str| {
        let text = p.split_whitespace().collect::<Vec<_>>().join(" ");
        (!text.is_empty()).then(|| Block::Paragraph {
            text: vec![Inline::Text { text }],
        })
    };
    text.split("\n\n").filter_map(paragraph).collect()
}

pub fn card_ref(set: &Set, position: usize) -> CardRef {
    let procedure = &set.procedures[position];
    CardRef {
        procedure: procedure.id.clone(),
        title: procedure.title.clone(),
        position: position + 1,
    }
}
