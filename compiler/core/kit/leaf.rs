//! The kit of a set as a leaf: a line and a box for each thing; or two choices side by side.

use crate::cards::card::{CardRef, Choice, Identity};
use crate::kit::data::{Comparison, Kit, Line, Spare, StepRef};
use serde::Serialize;

/// The sections of a kit as templates know them, in the order of `Kit::sections`.
const KINDS: [&str; 7] = [
    "order",
    "inspect",
    "fasteners",
    "consumables",
    "tools",
    "gauges",
    "temporary",
];

/// What to order, lay out and pour for a set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KitSheet {
    /// As on the cards; `procedure` is `kit`.
    pub identity: Identity,
    /// The cards that steps are of.
    pub cards: Vec<CardRef>,
    /// Those with at least one line; empty for a comparison.
    pub sections: Vec<Section>,
    /// Sum of the prices; empty if there is none.
    pub total: String,
    pub not_needed: Vec<Spare>,
    pub remarks: Vec<String>,
    /// Two choices side by side, in place of the sections.
    pub against: Option<Against>,
}

/// Things of one kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Section {
    /// `order`, `inspect`, `fasteners`, `consumables`, `tools`, `gauges` or `temporary`.
    pub kind: &'static str,
    pub lines: Vec<Item>,
}

/// One thing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Item {
    pub name: String,
    pub number: String,
    pub amount: String,
    pub detail: String,
    /// New each time.
    pub single_use: bool,
    pub unit_price: String,
    pub price: String,
    pub needed: Vec<Needed>,
}

/// The steps of one card that need a thing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Needed {
    /// Number of the card.
    pub card: usize,
    pub steps: Vec<String>,
}

/// What differs between two choices.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Against {
    /// The choices that differ, `lubricant = mineral`.
    pub left: Vec<String>,
    pub right: Vec<String>,
    /// Those with at least one row.
    pub sections: Vec<Differences>,
    pub left_total: String,
    pub right_total: String,
}

/// Differences of one kind of thing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Differences {
    /// As in a section.
    pub kind: &'static str,
    pub rows: Vec<Row>,
}

/// One thing on either side; `-` where it isn't needed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    pub name: String,
    pub left: String,
    pub right: String,
    pub left_price: String,
    pub right_price: String,
}

/// The leaf of a kit.
pub fn sheet(mut identity: Identity, cards: Vec<CardRef>, kit: &Kit) -> KitSheet {
    identity.choices = kit.choices.clone();
    let sections = KINDS.into_iter().zip(kit.sections());
    let sections = sections.filter(|(_, (_, lines))| !lines.is_empty());
    KitSheet {
        identity,
        cards,
        sections: sections
            .map(|(kind, (_, lines))| Section {
                kind,
                lines: lines.iter().map(item).collect(),
            })
            .collect(),
        total: kit.total.clone(),
        not_needed: kit.not_needed.clone(),
        remarks: kit.remarks.clone(),
        against: None,
    }
}

/// The leaf of two kits of a set. Its head names only the choices that they share.
pub fn against(mut identity: Identity, left: &Kit, right: &Kit, comparison: &Comparison) -> KitSheet {
    let own = |kit: &Kit, other: &Kit| -> Vec<String> {
        let choices = kit.choices.iter().filter(|c| !chosen_in(other, c));
        choices.map(|c| format!("{} = {}", c.option, c.value)).collect()
    };
    let shared = left.choices.iter().filter(|c| chosen_in(right, c));
    identity.choices = shared.cloned().collect();
    let headings = left.sections().map(|(heading, _)| heading);
    let sections = KINDS.into_iter().zip(headings).map(|(kind, heading)| {
        let rows = comparison.rows.iter().filter(|row| row.section == heading);
        let row = |d: &crate::kit::data::Difference| Row {
            name: d.name.clone(),
            left: d.left.clone(),
            right: d.right.clone(),
            left_price: d.left_price.clone(),
            right_price: d.right_price.clone(),
        };
        Differences {
            kind,
            rows: rows.map(row).collect(),
        }
    });
    let mut remarks = left.remarks.clone();
    remarks.extend(right.remarks.iter().filter(|r| !left.remarks.contains(r)).cloned());
    KitSheet {
        identity,
        cards: Vec::new(),
        sections: Vec::new(),
        total: String::new(),
        not_needed: Vec::new(),
        remarks,
        against: Some(Against {
            left: own(left, right),
            right: own(right, left),
            sections: sections.filter(|s| !s.rows.is_empty()).collect(),
            left_total: comparison.left_total.clone(),
            right_total: comparison.right_total.clone(),
        }),
    }
}

fn chosen_in(kit: &Kit, choice: &Choice) -> bool {
    let mut all = kit.choices.iter();
    all.any(|c| c.option == choice.option && c.value == choice.value)
}

fn item(line: &Line) -> Item {
    Item {
        name: line.name.clone(),
        number: line.number.clone(),
        amount: line.amount.clone(),
        detail: line.detail.clone(),
        single_use: line.single_use,
        unit_price: line.unit_price.clone(),
        price: line.price.clone(),
        needed: needed(&line.steps),
    }
}

/// Steps by their cards, in the order of the job.
fn needed(steps: &[StepRef]) -> Vec<Needed> {
    let mut found: Vec<Needed> = Vec::new();
    for step in steps {
        match found.last_mut().filter(|n| n.card == step.card) {
            Some(same) => same.steps.push(step.step.clone()),
            None => found.push(Needed {
                card: step.card,
                steps: vec![step.step.clone()],
            }),
        }
    }
    found
}
