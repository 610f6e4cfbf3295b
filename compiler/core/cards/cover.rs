//! What is read before step 1: what the work is, and what to lay out.

use super::card::{Block, CardRef, Inline, KitRow};
use super::figures::{self, By};
use super::value::Value;
use super::written::text;
use crate::domain::amount::{Amount, Sum};
use crate::model::Name;
use crate::model::registers::{Consumable, Part, Temporary, Tool};
use crate::model::{Catalogue, Handle, ProcedureId, Set, StepNumber};
use crate::words::{Phrase, joined, say};

/// Parts, temporary items, consumables and tools of one card, each in order of first use.
#[derive(Debug, Default)]
pub struct Kit {
    pub parts: Rows,
    pub temporary: Rows,
    pub consumables: Rows,
    pub tools: Rows,
}

/// Rows of one table, with what is needed of each in all and where.
#[derive(Debug, Default)]
pub struct Rows(Vec<(KitRow, Need)>);

#[derive(Debug, Default)]
struct Need {
    sum: Sum,
    steps: Vec<StepNumber>,
}

impl Rows {
    /// The rows ready to print.
    pub fn into_rows(self) -> Vec<KitRow> {
        let rows = self.0.into_iter().map(|(mut row, need)| {
            if !need.sum.is_empty() {
                row.amount = Value::from(&need.sum);
            }
            row.steps = need.steps.iter().map(ToString::to_string).collect();
            row
        });
        rows.collect()
    }

    /// Another step that needs what is brought along already.
    fn again(&mut self, name: &str, detail: &Phrase, step: StepNumber) {
        let mut rows = self.0.iter_mut();
        if let Some((_, need)) = rows.find(|(row, _)| row.name == name && row.detail == *detail)
            && need.steps.last() != Some(&step)
        {
            need.steps.push(step);
        }
    }

    /// The row of a thing, made if it isn't there yet.
    fn row(&mut self, id: &Name, name: &str, detail: Phrase, step: StepNumber) -> Option<(&mut KitRow, &mut Sum)> {
        let rows = &mut self.0;
        let known = rows.iter().position(|(r, _)| r.name == name && r.detail == detail);
        let at = known.unwrap_or_else(|| {
            let row = KitRow {
                id: id.text.clone(),
                name: name.to_string(),
                amount: Value::default(),
                detail,
                single_use: false,
                ghs: Vec::new(),
                steps: Vec::new(),
                span: Some(id.span),
            };
            rows.push((row, Need::default()));
            rows.len() - 1
        });
        let (row, need) = rows.get_mut(at)?;
        if need.steps.last() != Some(&step) {
            need.steps.push(step);
        }
        Some((row, &mut need.sum))
    }
}

impl Kit {
    pub fn part(&mut self, catalogue: &Catalogue, handle: Handle<Part>, amount: Option<&Amount>, step: StepNumber) {
        let part = &catalogue.parts[handle];
        let id = &catalogue.parts.get(handle).id;
        if let Some((row, sum)) = self.parts.row(id, &part.name, text(&part.number).into(), step) {
            row.single_use = part.is_new_each_time();
            amount.iter().for_each(|amount| sum.add(amount));
            sum.cap(part.qty);
        }
    }

    pub fn temporary(
        &mut self,
        catalogue: &Catalogue,
        handle: Handle<Temporary>,
        amount: Option<&Amount>,
        step: StepNumber,
    ) {
        let temporary = &catalogue.temporary[handle];
        let id = &catalogue.temporary.get(handle).id;
        if let Some((_, sum)) = self
            .temporary
            .row(id, &temporary.name, text(&temporary.flag).into(), step)
        {
            amount.iter().for_each(|amount| sum.add(amount));
            sum.cap(temporary.qty);
        }
    }

    /// It is on, or at hand: another step that needs it, if it is brought along at all.
    pub fn temporary_again(&mut self, catalogue: &Catalogue, handle: Handle<Temporary>, step: StepNumber) {
        let temporary = &catalogue.temporary[handle];
        self.temporary
            .again(&temporary.name, &text(&temporary.flag).into(), step);
    }

    pub fn consumable(
        &mut self,
        catalogue: &Catalogue,
        handle: Handle<Consumable>,
        amount: Option<&Amount>,
        step: StepNumber,
    ) {
        let consumable = &catalogue.consumables[handle];
        let id = &catalogue.consumables.get(handle).id;
        if let Some((row, sum)) = self
            .consumables
            .row(id, &consumable.name, text(&consumable.note).into(), step)
        {
            row.ghs = consumable.hazards.iter().map(|h| h.value.code().to_string()).collect();
            let pack = consumable.amount.as_ref();
            row.amount = pack.map_or_else(Value::default, |a| Value::from(&a.value));
            amount.iter().for_each(|amount| sum.add(amount));
        }
    }

    pub fn tool(&mut self, catalogue: &Catalogue, handle: Handle<Tool>, step: StepNumber) {
        let tool = &catalogue.tools[handle];
        let range = tool.range.as_ref().map(|r| figures::interval(&r.value, By::Author));
        let resolution = tool.resolution.as_ref().map(|r| say::reads(r.value.to_string()));
        let detail = joined(range.into_iter().chain(resolution), ", ");
        let id = &catalogue.tools.get(handle).id;
        self.tools.row(id, &tool.name, detail, step);
    }
}

/// Plain text as paragraphs: an empty line parts them.
pub fn paragraphs(text: Option<&Name>) -> Vec<Block> {
    let Some(whole) = text else { return Vec::new() };
    let paragraph = |p: &str| {
        let text = p.split_whitespace().collect::<Vec<_>>().join(" ");
        (!text.is_empty()).then(|| Block::Paragraph {
            text: vec![Inline::Text { text }],
            span: Some(whole.span),
        })
    };
    whole.text.split("\n\n").filter_map(paragraph).collect()
}

/// A card by its number.
pub fn card_ref(set: &Set, id: ProcedureId) -> CardRef {
    let procedure = &set.procedures[id];
    CardRef {
        procedure: procedure.id.clone(),
        title: procedure.title.clone(),
        position: id.number(),
        span: Some(procedure.span),
    }
}
