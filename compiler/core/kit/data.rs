//! The kit leaf as plain data: what to order, lay out and pour for a whole set, and two choices side by side. `kit` fills it in.

use crate::cards::card::Choice;
use crate::model::all_assigned;
use crate::words::{Phrase, say};
use serde::Serialize;

/// What a job needs. Every text is ready to print; every list is in the order of its register.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Kit {
    /// Folder name of the set.
    pub set: String,
    pub title: String,
    pub machine: String,
    /// Every option of the set, as chosen.
    pub choices: Vec<Choice>,
    /// Parts that are not on the machine at the start: to be ordered.
    pub order: Vec<Line>,
    /// Parts that go back only if they pass: have a replacement in reach.
    pub inspect: Vec<Line>,
    /// Fasteners that are new each time; where a part stands for them, it is in `order` too. Never priced.
    pub fasteners: Vec<Line>,
    /// Amounts of a consumable are added up, exactly where they are of one dimension.
    pub consumables: Vec<Line>,
    pub tools: Vec<Line>,
    pub gauges: Vec<Line>,
    pub temporary: Vec<Line>,
    /// What other choices would need and these don't.
    pub not_needed: Vec<Spare>,
    /// Sum of the prices, `71.40` or `71.40 EUR`; empty without a price, or where they are in several currencies.
    pub total: Phrase,
    /// What to know about the figures: prices that are missing or can't be added.
    pub remarks: Vec<Phrase>,
}

/// One thing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    pub id: String,
    pub name: String,
    /// Part or tool number; the fastener's designation for fasteners; empty if not said.
    pub number: String,
    /// Count or amount: `2`, `35 mL`; empty if not said.
    pub amount: Phrase,
    /// New each time.
    pub single_use: bool,
    /// Of one piece, or of one pack of a consumable, as written; empty if not said.
    pub unit_price: Phrase,
    /// Of all of it; empty if not known.
    pub price: Phrase,
    /// Range, flag colour, pack size or what else tells it apart.
    pub detail: Phrase,
    /// The steps that need it, in the order of the job.
    pub steps: Vec<StepRef>,
}

/// Points at a step.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct StepRef {
    /// Place of the card in the set's order, from 1.
    pub card: usize,
    pub procedure: String,
    /// `2.3`
    pub step: String,
}

/// A thing that these choices don't need.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Spare {
    /// `part`, `consumable`, `tool` or `temporary`.
    pub kind: String,
    pub id: String,
    pub name: String,
    /// The choice that would need it: `lubricant = synthetic`.
    pub only: Phrase,
}

impl Kit {
    /// Every list with its heading, in the order of printing.
    pub fn sections(&self) -> [(Phrase, &[Line]); 7] {
        [
            (say::kit_order(), &self.order),
            (say::kit_inspect(), &self.inspect),
            (say::kit_fasteners(), &self.fasteners),
            (say::kit_consumables(), &self.consumables),
            (say::kit_tools(), &self.tools),
            (say::kit_gauges(), &self.gauges),
            (say::kit_temporary(), &self.temporary),
        ]
    }

    /// The choices in a line: `lubricant=mineral, seals=renew`; empty for a set without options.
    pub fn chosen(&self) -> String {
        all_assigned(self.choices.iter().map(|c| (c.option.as_str(), c.value.as_str())))
    }
}

/// What differs between the kits of two choices of one set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    pub set: String,
    pub title: String,
    /// The choices on each side: `lubricant=mineral`.
    pub left: String,
    pub right: String,
    pub rows: Vec<Difference>,
    /// Totals; empty where a kit has none.
    pub left_total: Phrase,
    pub right_total: Phrase,
}

/// One thing that one side needs more of, or at another price.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Difference {
    /// Heading of the list it stands in.
    pub section: Phrase,
    pub id: String,
    pub name: String,
    /// Amounts; `-` on the side that doesn't need it.
    pub left: Phrase,
    pub right: Phrase,
    pub left_price: Phrase,
    pub right_price: Phrase,
}
