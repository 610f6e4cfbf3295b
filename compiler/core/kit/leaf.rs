//! The kit of a set as a leaf: a line and a box for each thing; or two choices side by side.

use crate::cards::card::{CardRef, Choice, Chosen, Identity};
use crate::cards::heads;
use crate::fingerprint::{Kind, leaf};
use crate::kit::data::{Comparison, Kit, Line, Spare, StepRef};
use crate::model::equals;
use crate::words::Phrase;

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

leaf! {
    /// What to order, lay out and pour for a set.
    pub struct KitSheet {
        /// As on the cards; `procedure` is `kit`.
        says identity: Identity,
        /// The cards that steps are of.
        says cards: Vec<CardRef>,
        /// Those with at least one line; empty for a comparison.
        says sections: Vec<Section>,
        /// Sum of the prices; empty if there is none.
        exempt(Price) total: Phrase,
        says not_needed: Vec<Without>,
        exempt(Price) remarks: Vec<Phrase>,
        /// Two choices side by side, in place of the sections.
        says against: Option<Against>,
    }
}

impl Kind for KitSheet {
    const NAME: &'static str = "kit";
}

leaf! {
    /// Things of one kind.
    pub struct Section {
        /// `order`, `inspect`, `fasteners`, `consumables`, `tools`, `gauges` or `temporary`.
        says kind: &'static str,
        says lines: Vec<Item>,
    }
}

leaf! {
    /// One thing.
    pub struct Item {
        says name: String,
        says number: String,
        says amount: Phrase,
        says detail: Phrase,
        /// New each time.
        says single_use: bool,
        exempt(Price) unit_price: Phrase,
        exempt(Price) price: Phrase,
        says needed: Vec<Needed>,
    }
}

leaf! {
    /// The steps of one card that need a thing.
    pub struct Needed {
        /// Number of the card.
        exempt(Number) card: usize,
        says steps: Vec<String>,
    }
}

leaf! {
    /// A thing that these choices don't need, and the choice that would.
    pub struct Without {
        says name: String,
        says only: Phrase,
    }
}

leaf! {
    /// What differs between two choices.
    pub struct Against {
        /// The choices that differ, `lubricant = mineral`.
        says left: Vec<Phrase>,
        says right: Vec<Phrase>,
        /// Those with at least one row.
        says sections: Vec<Differences>,
        exempt(Price) left_total: Phrase,
        exempt(Price) right_total: Phrase,
    }
}

leaf! {
    /// Differences of one kind of thing.
    pub struct Differences {
        /// As in a section.
        says kind: &'static str,
        says rows: Vec<Row>,
    }
}

leaf! {
    /// One thing on either side; `-` where it isn't needed.
    pub struct Row {
        says name: String,
        says left: Phrase,
        says right: Phrase,
        exempt(Price) left_price: Phrase,
        exempt(Price) right_price: Phrase,
    }
}

/// The leaf of a kit.
pub fn sheet(mut identity: Identity, cards: Vec<CardRef>, kit: &Kit) -> KitSheet {
    identity.choices = heads(&kit.choices);
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
        not_needed: kit.not_needed.iter().map(without).collect(),
        remarks: kit.remarks.clone(),
        against: None,
    }
}

/// The leaf of two kits of a set. Its head names only the choices that they share.
pub fn against(mut identity: Identity, left: &Kit, right: &Kit, comparison: &Comparison) -> KitSheet {
    let own = |kit: &Kit, other: &Kit| -> Vec<Phrase> {
        let choices = kit.choices.iter().filter(|c| !chosen_in(other, c));
        choices.map(|c| equals(&c.option, [c.value.as_str()])).collect()
    };
    let shared = left.choices.iter().filter(|c| chosen_in(right, c));
    identity.choices = shared.map(Chosen::from).collect();
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
    let sections: Vec<Differences> = sections.filter(|s| !s.rows.is_empty()).collect();
    // Where nothing differs there is nothing to add up beside it.
    let total = |sum: &Phrase| match sections.is_empty() {
        true => Phrase::default(),
        false => sum.clone(),
    };
    let mut remarks = left.remarks.clone();
    remarks.extend(right.remarks.iter().filter(|r| !left.remarks.contains(r)).cloned());
    KitSheet {
        identity,
        cards: Vec::new(),
        sections: Vec::new(),
        total: Phrase::default(),
        not_needed: Vec::new(),
        remarks,
        against: Some(Against {
            left: own(left, right),
            right: own(right, left),
            left_total: total(&comparison.left_total),
            right_total: total(&comparison.right_total),
            sections,
        }),
    }
}

fn chosen_in(kit: &Kit, choice: &Choice) -> bool {
    let mut all = kit.choices.iter();
    all.any(|c| c.option == choice.option && c.value == choice.value)
}

fn without(spare: &Spare) -> Without {
    Without {
        name: spare.name.clone(),
        only: spare.only.clone(),
    }
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
